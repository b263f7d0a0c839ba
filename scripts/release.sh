#!/usr/bin/env bash
# Usage: release.sh KEY [FOLDER] [--no-trial]
# Makes the release of the tag on this commit in FOLDER (dist/VERSION): wheel and sdist, built twice and
# compared, checked, listed with their SHA-256, signed with the SSH key KEY, installed and tried.
# Uploads nothing. Run scripts/test.sh first, which makes .venv, or set PYTHON.
set -euo pipefail
cd "$(dirname "$0")/.."
stop() { echo "release.sh: $1" >&2; exit 2; }
trial=yes
[ "${!#}" != --no-trial ] || { trial=no; set -- "${@:1:$#-1}"; }
key=${1:-}
[ -f "$key" ] || stop "Name the SSH key to sign with: scripts/release.sh ~/.ssh/id_ed25519"
grep -Eq '^[^#[:space:]]' scripts/release_signers ||
  stop "scripts/release_signers names no key yet, so nobody could check a signature: add yours as CONTRIBUTING.md says."
[ -z "$(git status --porcelain)" ] || stop "Commit or remove what 'git status' shows first."
tag=$(git describe --exact-match --match 'v[0-9]*' 2>/dev/null) ||
  stop "Tag this commit first: git tag -a v0.1.0 -m 'Version 0.1.0'"
version=${tag#v}
grep -Eq "^## ${version//./\\.} - [0-9]{4}-[0-9]{2}-[0-9]{2}$" CHANGELOG.md ||
  stop "CHANGELOG.md needs the heading '## $version - YEAR-MONTH-DAY'."
target=$(realpath -m "${2:-dist/$version}")
[ ! -e "$target" ] || stop "$target is there already; remove it or name another folder."

folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
date >"$folder/scrap"
ssh-keygen -q -Y sign -f "$key" -n assembly-assistant "$folder/scrap"
signer=$(ssh-keygen -Y find-principals -s "$folder/scrap.sig" -f scripts/release_signers 2>/dev/null) ||
  stop "The key is not in scripts/release_signers at this tag, so nobody could check the signature. Add it."
python=${PYTHON:-$PWD/.venv/bin/python}
"$python" -c 'import build, hatch_vcs, twine' 2>/dev/null || stop "Run scripts/test.sh first, or set PYTHON."
export SOURCE_DATE_EPOCH
SOURCE_DATE_EPOCH=$(git log -1 --format=%ct "$tag")
# Two clones with other paths, times and rights: what differs between them must not show.
for mask in 022 077; do
  (
    umask "$mask"
    git clone --quiet --branch "$tag" --config advice.detachedHead=false "$PWD" "$folder/tree-$mask"
    # The wheel is built from the sdist, so the sdist builds without git.
    "$python" -m build --no-isolation --outdir "$folder/out-$mask" "$folder/tree-$mask" >"$folder/log" 2>&1 ||
      { cat "$folder/log" >&2; exit 1; }
  )
done
chmod -R go+rX "$folder"
diff -r "$folder/out-022" "$folder/out-077" || stop "Two builds of $tag differ; a release must be reproducible."
made=$folder/out-022
[ -f "$made/assembly_assistant-$version.tar.gz" ] || stop "The built version is not $version: $(ls "$made")"
"$python" -m twine --no-color check --strict "$made"/*
(
  cd "$made"
  sha256sum -- *.whl *.tar.gz >SHA256SUMS
)
ssh-keygen -q -Y sign -f "$key" -n assembly-assistant "$made/SHA256SUMS"
ssh-keygen -Y verify -f scripts/release_signers -I "$signer" -n assembly-assistant \
  -s "$made/SHA256SUMS.sig" <"$made/SHA256SUMS"
if [ "$trial" = yes ]; then
  "$python" -m venv "$folder/venv"
  "$folder/venv/bin/pip" install --quiet --disable-pip-version-check --constraint scripts/constraints.txt "$made"/*.whl
  "$folder/venv/bin/assembly-assistant" --version
  "$folder/venv/bin/assembly-assistant" demo --store "$folder/demo.db" >"$folder/log" 2>&1 ||
    { cat "$folder/log" >&2; stop "The installed wheel does not run the demo."; }
fi
mkdir -p "$(dirname "$target")"
mv "$made" "$target"
echo "Release $version is in $target. Nothing was uploaded."
