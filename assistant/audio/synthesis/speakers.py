"""Synthetic speakers, each a voice of flite, festival or espeak-ng.

For making recorded sessions and corpora, on Linux only: they are Debian's programs, and flite reads
its text from /dev/stdin.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import soundfile

from assistant.audio.file_source import read_audio
from assistant.audio.synthesis.neural_speaker import JOE, say_joe
from assistant.folders import user_cache
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples
from assistant.voice.pronounce import Respelling

_RECIPE = 1  # raise when the same text would sound different, so that caches are left behind
_WORDS_PER_MINUTE = 160


@dataclass(frozen=True)
class Speaker:
    """A synthetic speaker: which package it comes from and how it is called.

    ``command`` takes the file to write and the tempo (1 is the voice's own, 2 twice as fast);
    the text goes to standard input.
    """

    name: str
    package: str
    command: Callable[[Path, float], tuple[str, ...]]


def _flite(voice: str) -> Callable[[Path, float], tuple[str, ...]]:
    def command(out: Path, tempo: float) -> tuple[str, ...]:
        stretch = f"duration_stretch={1 / tempo:.3f}"
        return ("flite", "-voice", voice, "--setf", stretch, "-f", "/dev/stdin", "-o", str(out))

    return command


# Festival's letter-to-sound rules know neither spelling of the machinist's "thou".
_FESTIVAL_WORDS = """(lex.add.entry '("thow" nil (((th aw) 1))))"""


def _festival(voice: str) -> Callable[[Path, float], tuple[str, ...]]:
    def command(out: Path, tempo: float) -> tuple[str, ...]:
        stretch = f"(Parameter.set 'Duration_Stretch {1 / tempo:.3f})"
        scheme = f"(begin (voice_{voice}) {_FESTIVAL_WORDS} {stretch})"
        return ("text2wave", "-eval", scheme, "-o", str(out))

    return command


def _espeak(voice: str) -> Callable[[Path, float], tuple[str, ...]]:
    def command(out: Path, tempo: float) -> tuple[str, ...]:
        speed = str(round(_WORDS_PER_MINUTE * tempo))
        return ("espeak-ng", "--stdin", "-v", voice, "-s", speed, "-w", str(out))

    return command


SPEAKERS: dict[str, Speaker] = {
    s.name: s
    for s in (
        Speaker("awb", "flite", _flite("awb")),
        Speaker("rms", "flite", _flite("rms")),
        Speaker("slt", "flite", _flite("slt")),
        Speaker("kal16", "flite", _flite("kal16")),
        Speaker("kal_diphone", "festival festvox-kallpc16k", _festival("kal_diphone")),
        Speaker("ked_diphone", "festival festvox-kdlpc16k", _festival("ked_diphone")),
        Speaker("slt_hts", "festival festvox-us-slt-hts", _festival("cmu_us_slt_arctic_hts")),
        Speaker("espeak_us", "espeak-ng", _espeak("en-us")),
        Speaker("espeak_gb", "espeak-ng", _espeak("en-gb")),
        Speaker("espeak_f2", "espeak-ng", _espeak("en-us+f2")),
        Speaker("espeak_m3", "espeak-ng", _espeak("en-us+m3")),
        Speaker("espeak_ko", "espeak-ng", _espeak("ko")),
        Speaker("espeak_ko_f2", "espeak-ng", _espeak("ko+f2")),
    )
}
"""The speakers by name. ``awb`` (a Scot), ``rms`` and ``slt`` are built from recorded people."""


def cache_folder() -> Path:
    """Where spoken text is kept, in the user's cache; safe to delete."""
    return user_cache("speech")


def say(text: str, speaker: str, tempo: float = 1.0) -> Samples:
    """``text`` as ``speaker`` says it: mono int16 at 16 kHz. Kept in the cache by its content.

    Raises:
        SpeechError: the speaker is unknown, not installed, or fails.
    """
    if speaker not in SPEAKERS and speaker != JOE:
        known = ", ".join((*SPEAKERS, JOE))
        raise SpeechError(f"There is no speaker '{speaker}'; choose one of: {known}.")
    spoken = Respelling.of_language("en-US")(text)
    key = hashlib.sha256(f"{_RECIPE}|{speaker}|{tempo:.3f}|{spoken}".encode()).hexdigest()[:32]
    kept = cache_folder() / f"{key}.flac"
    if kept.is_file():
        return read_audio(kept)
    if speaker == JOE:
        samples = _trimmed(say_joe(spoken, tempo))
    else:
        samples = _spoken(spoken, SPEAKERS[speaker], tempo)
    kept.parent.mkdir(parents=True, exist_ok=True)
    # Written aside and moved, so that two runs at once never read half a file.
    aside = kept.with_suffix(f".{os.getpid()}.flac")
    soundfile.write(aside, samples, SAMPLE_RATE, format="FLAC")
    aside.replace(kept)
    return samples


def _spoken(text: str, speaker: Speaker, tempo: float) -> Samples:
    with TemporaryDirectory() as folder:
        out = Path(folder) / "spoken.wav"
        try:
            subprocess.run(
                speaker.command(out, tempo), input=text.encode(), check=True, capture_output=True
            )
        except FileNotFoundError as error:
            raise SpeechError(
                f"The speaker '{speaker.name}' needs the packages {speaker.package}; install "
                "them, as scripts/install_system.sh does."
            ) from error
        except subprocess.CalledProcessError as error:
            said = error.stderr.decode(errors="replace").strip()
            raise SpeechError(
                f"The speaker '{speaker.name}' could not say '{text}': {said}."
            ) from error
        return _trimmed(read_audio(out))


def _trimmed(samples: Samples) -> Samples:
    """Without the digital silence that synthesisers put before and after."""
    loud = np.flatnonzero(np.abs(samples.astype(np.int32)) > 64)
    return samples[loud[0] : loud[-1] + 1] if len(loud) else samples
