#!/usr/bin/env bash
# Pins the newest versions that pyproject.toml allows, for scripts/test.sh. Run all tests afterwards.
#
# Writes scripts/constraints.txt (versions) and scripts/lock.txt (versions and hashes).
set -euo pipefail
cd "$(dirname "$0")/.."
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
python3 -m venv "$folder"
"$folder/bin/pip" install --quiet --disable-pip-version-check uv
"$folder/bin/uv" pip compile pyproject.toml --quiet --no-header --no-annotate --generate-hashes \
  --extra test --extra postgresql --extra board --extra neural --python-version 3.11 \
  --output-file "$folder/all.txt"
{
  grep '^#' scripts/lock.txt  # why torch is not in it
  awk '/^[a-z0-9]/ { keep = !/^(torch|triton|nvidia-|cuda-)/ } keep' "$folder/all.txt"
} >"$folder/lock.txt"
awk '/^[a-z0-9]/ && !/^(triton|nvidia-|cuda-)/ { print $1 }' "$folder/all.txt" >"$folder/constraints.txt"
mv "$folder/lock.txt" "$folder/constraints.txt" scripts/
echo "Written: scripts/constraints.txt and scripts/lock.txt. Now run: bash scripts/test.sh"
