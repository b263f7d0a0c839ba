#!/usr/bin/env bash
# Installs what the tests need and passes them: lint, types, tests, coverage of the core.
set -euo pipefail
cd "$(dirname "$0")/.."
scripts/install_system.sh --tests
scripts/make_venv.sh .venv '.[test,whisper,postgresql,board]'
.venv/bin/ruff format --check .
.venv/bin/ruff check .
.venv/bin/mypy
.venv/bin/pytest --cov=assistant --cov-report=term:skip-covered "$@"
.venv/bin/coverage report --fail-under=95 \
  --include='assistant/dialogue/*,assistant/language/*,assistant/procedure/*,assistant/quantities/*'
