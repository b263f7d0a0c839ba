#!/usr/bin/env bash
# Whether every dependency has a wheel for each system that builders have, and the package's types fit
# them. Asks the package index; nothing is installed. Prints a table and fails where one is missing.
# With --wheels: wheels only. Run after scripts/test.sh, which makes .venv, or set PYTHON.
set -uo pipefail
cd "$(dirname "$0")/.."
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
declare -A systems=(
  [windows-x64]="win_amd64"
  [macos-arm64]="macosx_10_6_universal2 macosx_10_9_universal2 macosx_10_13_universal2 macosx_11_0_universal2 macosx_11_0_arm64 macosx_12_0_arm64 macosx_13_0_arm64 macosx_14_0_arm64"
  [linux-x64]="manylinux2014_x86_64 manylinux_2_17_x86_64 manylinux_2_27_x86_64 manylinux_2_28_x86_64 manylinux_2_34_x86_64"
  [linux-arm64]="manylinux2014_aarch64 manylinux_2_17_aarch64 manylinux_2_27_aarch64 manylinux_2_28_aarch64 manylinux_2_34_aarch64"
)
python=${PYTHON:-.venv/bin/python}
"$python" -m pip --version >/dev/null || { echo "Run scripts/test.sh first, or set PYTHON." >&2; exit 2; }
# Takes the requirements; resolves without installing, from metadata only where the index has it.
has_wheels() {
  "$python" -m pip install --quiet --disable-pip-version-check --dry-run --ignore-installed --no-deps \
    --only-binary=:all: --python-version "$version" --implementation cp "${platforms[@]}" \
    --target "$folder/target" "$@" >/dev/null  # what pip finds wrong is shown
}
# Takes the system; what it needs, and what its tests need (.github/workflows/systems.yml). pip would
# judge markers by the machine that it runs on.
wanted_on() {
  "$python" - "$1" "$version" <<'PYTHON'
import sys, tomllib
from packaging.requirements import Requirement
system, version = sys.argv[1:]
names = {"windows": "win32", "macos": "darwin", "linux": "linux"}
there = {"sys_platform": names[system.partition("-")[0]], "python_version": version}
project = tomllib.load(open("pyproject.toml", "rb"))["project"]
extras = project["optional-dependencies"]
for text in (*project["dependencies"], *extras["board"], *extras["neural"], *extras["test"]):
    one = Requirement(text)
    if one.marker is None or one.marker.evaluate(there):
        one.marker = None
        print(one)
PYTHON
}
failed=0
for version in 3.11 3.12 3.13 3.14; do
  for system in windows-x64 macos-arm64 linux-x64 linux-arm64; do
    platforms=()
    for tag in ${systems[$system]}; do platforms+=(--platform "$tag"); done
    mapfile -t wanted < <(wanted_on "$system")
    missing=""
    has_wheels "${wanted[@]}" || for one in "${wanted[@]}"; do
      has_wheels "$one" || missing+=" ${one%%[<>=~![ ]*}"
    done
    echo "| $system | Python $version | ${missing:-all there} |"
    [ -z "$missing" ] || failed=1
  done
done
if [ "${1-}" != --wheels ]; then
  for system in win32 darwin; do
    "$python" -m mypy --platform "$system" assistant --cache-dir "$folder/mypy-$system" || failed=1
  done
fi
exit $failed
