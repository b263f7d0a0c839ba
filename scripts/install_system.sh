#!/usr/bin/env bash
# Usage: install_system.sh [--tests]
# Installs the system packages that the assistant uses (Debian 12, Ubuntu); with --tests also what
# its tests need. Does nothing when all are there. Uses sudo when not root.
set -euo pipefail
packages=(
  libportaudio2 libasound2-plugins alsa-utils  # microphone and loudspeaker
  espeak-ng                                    # voice
  flite festival festvox-kallpc16k festvox-kdlpc16k festvox-us-slt-hts  # speakers of the recorded sessions
)
case ${1-} in
  '') ;;
  --tests)
    packages+=(
      pocketsphinx-testdata                    # recordings of people, public test data
      pulseaudio pulseaudio-utils              # a virtual microphone
      postgresql chromium poppler-utils        # record on a server, printed report
      strace                                   # what a power cut would leave of the record
    ) ;;
  *) echo "install_system.sh: '$1' is not known; the only option is --tests" >&2; exit 2 ;;
esac

# Debian's own Python comes without what makes virtual environments.
python=${PYTHON:-$(command -v python3.11 || command -v python3 || echo python3)}
"$python" -c 'import ensurepip, venv' 2>/dev/null || packages+=(python3 python3-venv)

# The board's browser has another name on Ubuntu, where chromium is a snap; any installed one does.
for browser in chromium chromium-browser; do
  if command -v "$browser" >/dev/null; then packages=("${packages[@]/#chromium/}"); break; fi
done

missing=()
for package in "${packages[@]}"; do
  [ -n "$package" ] || continue
  dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing+=("$package")
done
[ ${#missing[@]} -gt 0 ] || exit 0

as_root=()
if [ "$(id -u)" -ne 0 ]; then
  command -v sudo >/dev/null || {
    echo "Root is needed to install: ${missing[*]}. Run this script as root, or install them." >&2
    exit 1
  }
  as_root=(sudo)
fi
echo "Installing system packages: ${missing[*]}"
"${as_root[@]}" apt-get update -qq
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
  apt-get install -qq --yes --no-install-recommends "${missing[@]}" >/dev/null
