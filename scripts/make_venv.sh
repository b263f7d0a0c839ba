#!/usr/bin/env bash
# Usage: make_venv.sh FOLDER REQUIREMENT [CONSTRAINTS]. A virtual environment on Python 3.11 or newer,
# with the versions in the file CONSTRAINTS, where one is given.
set -euo pipefail
folder=$1
requirement=$2
pinned=(${3:+--constraint "$3"})
python=${PYTHON:-}
for candidate in python3.11 python3; do
  [ -n "$python" ] || ! command -v "$candidate" >/dev/null || python=$candidate
done
"${python:?No python3 found; install python3 and python3-venv first}" -c '
import sys
sys.exit(None if sys.version_info >= (3, 11) else "Python 3.11 or newer is needed; set PYTHON to it.")'
[ -x "$folder/bin/python" ] || "$python" -m venv "$folder"
"$folder/bin/pip" install --quiet --disable-pip-version-check "${pinned[@]}" --editable "$requirement"
