#!/usr/bin/env bash
# Installs what the main job needs and runs a whole demonstration session from recorded audio.
set -euo pipefail
cd "$(dirname "$0")/.."
scripts/install_system.sh
scripts/make_venv.sh .venv .
exec .venv/bin/assembly-assistant demo "$@"
