"""Turns a session script into a recorded session: synthesise_fixtures.py SCRIPT OUT [options].

SCRIPT is a text file, one utterance a line; see assistant/audio/synthesis/session_script.py for
its directions. OUT ends in .flac, .ogg or .wav and is mono at 16 kHz.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import soundfile

from assistant.audio.synthesis import SPEAKERS, synthesise
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE


def main() -> int:
    """Run the script; the exit status."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("script", type=Path, help="text file, one utterance a line")
    parser.add_argument("out", type=Path, help="sound file to write: .flac, .ogg or .wav")
    parser.add_argument("--speaker", default="slt", choices=SPEAKERS, help="who speaks at first")
    parser.add_argument("--seed", type=int, default=1, help="for noise and breaths")
    asked = parser.parse_args()
    try:
        lines = asked.script.read_text(encoding="utf-8").splitlines()
        samples = synthesise(lines, asked.speaker, asked.seed)
        soundfile.write(asked.out, samples, SAMPLE_RATE)
    except (OSError, SpeechError, soundfile.LibsndfileError) as fault:
        print(fault, file=sys.stderr)
        return 1
    print(f"{asked.out}: {len(samples) / SAMPLE_RATE:.1f} s, {asked.out.stat().st_size} bytes")
    return 0


if __name__ == "__main__":
    sys.exit(main())
