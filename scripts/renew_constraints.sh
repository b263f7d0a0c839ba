#!/usr/bin/env bash
# Pins the newest versions that pyproject.toml allows, for scripts/test.sh. Run all tests afterwards.
#
# Versions without hashes: torch comes from PyPI on one machine and from the CPU index on another,
# and the two files of one version differ.
set -euo pipefail
cd "$(dirname "$0")/.."
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
scripts/make_venv.sh "$folder" '.[test,postgresql,board,neural]'
"$folder/bin/pip" freeze --exclude-editable | sed 's/+.*//' >"$folder/constraints.txt"
mv "$folder/constraints.txt" scripts/constraints.txt
echo "Written: scripts/constraints.txt. Now run: bash scripts/test.sh"
