#!/usr/bin/env bash
# Usage: make_venv.sh FOLDER REQUIREMENT [pinned]. A virtual environment on Python 3.11 or newer; with
# "pinned", of the packages in scripts/lock.txt, each file checked against its hash.
set -euo pipefail
folder=$1
requirement=$2
pinned=${3:-}
python=${PYTHON:-}
for candidate in python3.11 python3; do
  [ -n "$python" ] || ! command -v "$candidate" >/dev/null || python=$candidate
done
"${python:?No python3 found; install python3 and python3-venv first}" -c '
import sys
sys.exit(None if sys.version_info >= (3, 11) else "Python 3.11 or newer is needed; set PYTHON to it.")'
[ -x "$folder/bin/python" ] || "$python" -m venv "$folder"
pip=("$folder/bin/pip" install --quiet --disable-pip-version-check)
if [ "$pinned" = pinned ]; then
  "${pip[@]}" --require-hashes --no-deps --requirement scripts/lock.txt
  # What has no hash: torch, by its version, and this project, built by the hatchling just installed.
  "${pip[@]}" --constraint scripts/constraints.txt --no-build-isolation --editable "$requirement"
else
  "${pip[@]}" --editable "$requirement"
fi
