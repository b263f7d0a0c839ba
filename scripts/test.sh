#!/usr/bin/env bash
# Installs what the tests need and passes them: lint, types, tests, coverage of the core.
set -euo pipefail
cd "$(dirname "$0")/.."
scripts/install_system.sh --tests
# The versions that the tests last passed with; scripts/renew_constraints.sh renews them.
scripts/make_venv.sh .venv '.[test,postgresql,board,neural]' scripts/constraints.txt
# An independent listener for what the voices say.
.venv/bin/assembly-assistant models fetch whisper-base ||
  echo "The Whisper model cannot be fetched; spoken numbers are not checked by ear."
.venv/bin/assembly-assistant models fetch piper-joe-medium ||
  echo "The neural voice cannot be fetched; its test is skipped."
.venv/bin/ruff format --check .
.venv/bin/ruff check .
.venv/bin/mypy
# One worker more than there are processors, and in the order of tests/conftest.py: tests that play
# and listen in real time come first, and mostly wait.
.venv/bin/pytest -n "$(($(nproc) + 1))" --dist loadfile --no-loadscope-reorder --cov=assistant --cov-report=term:skip-covered "$@"
.venv/bin/coverage report --fail-under=95 \
  --include='assistant/dialogue/*,assistant/language/*,assistant/procedure/*,assistant/quantities/*'
