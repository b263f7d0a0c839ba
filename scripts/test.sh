#!/usr/bin/env bash
# Installs what the tests need and passes them: lint, types, tests, coverage of the core.
set -euo pipefail
cd "$(dirname "$0")/.."
scripts/install_system.sh --tests
# The versions that the tests last passed with; scripts/renew_constraints.sh renews them.
scripts/make_venv.sh .venv '.[test,postgresql,board,neural]' pinned
# An independent listener for what the voices say.
.venv/bin/assembly-assistant models fetch whisper-base ||
  echo "The Whisper model cannot be fetched; spoken numbers are not checked by ear."
.venv/bin/assembly-assistant models fetch piper-joe-medium ||
  echo "The neural voice cannot be fetched; its test is skipped."
.venv/bin/ruff format --check .
.venv/bin/ruff check .
.venv/bin/mypy
.venv/bin/mypy --platform win32 assistant  # no call of the standard library that Windows lacks
# Tests start Python often: compiled modules are kept, whatever the environment says.
unset PYTHONDONTWRITEBYTECODE
# Tests that speak and listen in real time mostly wait. They go on beside all others; what they print
# comes last.
in_real_time=$(mktemp)
.venv/bin/pytest -n 2 -m real_time "$@" >"$in_real_time" 2>&1 &
trap 'kill $! 2>/dev/null || true; rm -f "$in_real_time"' EXIT
# One worker more than there are processors: some of these wait too, for a browser or another program.
# tests/conftest.py says which tests share a worker, in what order, and what coverage counts.
core=(assistant/{dialogue,language,procedure,quantities})
outcome=0
.venv/bin/pytest -n "$(($(nproc) + 1))" -m 'not real_time' \
  "${core[@]/#/--cov=}" --cov-report=term:skip-covered --cov-fail-under=95 "$@" || outcome=$?
wait $! || [ $? -eq 5 ] || outcome=1  # 5: "$@" names no such test
cat "$in_real_time"
exit "$outcome"
