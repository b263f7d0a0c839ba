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
# One worker more than there are processors: tests that play and listen in real time mostly wait.
# tests/conftest.py says which tests share a worker, in what order, and what coverage counts.
core=(assistant/{dialogue,language,procedure,quantities})
.venv/bin/pytest -n "$(($(nproc) + 1))" \
  "${core[@]/#/--cov=}" --cov-report=term:skip-covered --cov-fail-under=95 "$@"
