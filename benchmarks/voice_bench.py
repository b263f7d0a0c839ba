"""How soon the voice is heard, and how well it is understood.

``latency``: from the decision to speak to the first sound on a virtual loudspeaker (PulseAudio's
null sink, Debian packages ``pulseaudio`` and ``pulseaudio-utils``), lines of a demo procedure.
``understood``: the program's own recogniser (torques alone: it needs a grammar) and Whisper hear
every torque and caution of the demo procedures, and a series of torques, in each voice. Rates in
percent with 95 % Wilson intervals. Run from the checkout:
``python -m benchmarks.voice_bench latency`` or ``... understood``.
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable, Sequence
from functools import partial
from io import BufferedReader
from pathlib import Path
from threading import Condition, Thread
from time import perf_counter
from typing import TYPE_CHECKING

import numpy as np

from assistant.audio.loudspeaker import Loudspeaker
from assistant.models.places import best_installed
from assistant.speech.errors import SpeechError
from assistant.voice.espeak import EspeakSynthesiser
from assistant.voice.piper import PiperSynthesiser
from assistant.voice.played_voice import PlayedVoice, Synthesiser
from assistant.voice.spoken_cache import SpokenCache
from assistant.voice.types import Voice
from assistant.voice.voices import EspeakVoice, Pyttsx3Voice
from benchmarks.voice_lines import demo_lines
from tests.audio.virtual_sound import virtual_sound

if TYPE_CHECKING:
    from benchmarks.voice_understood import SpokenBy

_LOUD = 300  # of 32768; the first sample louder than this is the first sound
_INSIDE = "VOICE_BENCH_INSIDE"


class Monitor:
    """Listens to the virtual loudspeaker and notes when it first sounds."""

    def __init__(self) -> None:
        self._parec = subprocess.Popen(
            ["parec", "--device=bench.monitor", "--format=s16le", "--rate=48000", "--channels=1",
             "--latency-msec=5", "--raw"],
            stdout=subprocess.PIPE,
        )  # fmt: skip
        self._changed = Condition()
        self._first: float | None = None
        self._last = 0.0
        self._began = False
        Thread(target=self._read, daemon=True).start()
        with self._changed:
            self._changed.wait_for(lambda: self._began, 20)

    def _read(self) -> None:
        pipe = self._parec.stdout
        assert isinstance(pipe, BufferedReader)  # read1 takes what is there
        while block := pipe.read1(4096):
            samples = np.frombuffer(block[: len(block) // 2 * 2], np.int16).astype(np.int32)
            with self._changed:
                self._began = True
                if len(samples) and np.abs(samples).max() > _LOUD:
                    self._last = perf_counter()
                    self._first = self._first or self._last
                self._changed.notify_all()

    def _wait_for_sound(self) -> float | None:
        with self._changed:
            self._changed.wait_for(lambda: self._first is not None, 20)
            return self._first

    def first_sound(self, speak: Callable[[], None], stop: Callable[[], None]) -> float | None:
        """Seconds from calling ``speak`` to the first sound; ``stop`` is called then."""
        with self._changed:
            self._first = None
        before = perf_counter()
        speaking = Thread(target=speak)
        speaking.start()
        first = self._wait_for_sound()
        stop()
        speaking.join()
        with self._changed:  # quiet again before the next line
            while perf_counter() - self._last < 0.4:
                self._changed.wait(0.1)
        return None if first is None else first - before

    def close(self) -> None:
        """Stop listening."""
        self._parec.kill()


def synthesisers() -> list[Synthesiser]:
    """Those that are installed."""
    found: list[Synthesiser] = [EspeakSynthesiser("en-US")]
    place = best_installed("piper")
    try:
        found += [PiperSynthesiser(place, "en-US")] if place is not None else []
    except SpeechError as fault:
        print(fault, file=sys.stderr)
    return found


def row(name: str, delays: Sequence[float | None]) -> str:
    """A line of the table, in milliseconds."""
    heard = sorted(d * 1000 for d in delays if d is not None)
    if not heard:
        return f"{name:<44}{0:>4} of {len(delays):<4}"
    high = heard[max(0, -(-len(heard) * 95 // 100) - 1)]
    return (
        f"{name:<44}{len(heard):>4} of {len(delays):<4}"
        f"{statistics.median(heard):>8.0f}{high:>8.0f}{heard[-1]:>8.0f}"
    )


def latency(lines: int, whole_lines: int) -> None:
    """Print the table of first sounds."""
    told = [text for text, _ in demo_lines("kb2_input_shaft")][:lines]
    monitor = Monitor()
    print(f"{'voice':<44}{'heard':>12}{'median':>8}{'95th':>8}{'worst':>8}   (ms)")
    direct: list[Voice] = [EspeakVoice()]
    try:
        direct.append(Pyttsx3Voice())
    except SpeechError as fault:
        print(fault, file=sys.stderr)
    for voice in direct:  # these say the whole line: fewer of them
        some = told[:whole_lines]
        delays = [monitor.first_sound(partial(voice.speak, t), _nothing) for t in some]
        print(row(f"{voice.name}, played by itself", delays), flush=True)
    for synthesiser in synthesisers():
        with tempfile.TemporaryDirectory() as folder:
            played = PlayedVoice(synthesiser, Loudspeaker(), SpokenCache(Path(folder)), 150, 0.5)
            for kind in ("cold", "warm"):
                if kind == "warm":
                    for text in told:
                        played.foresee(text)
                say = played.speak
                delays = [monitor.first_sound(partial(say, t), played.stop) for t in told]
                name = f"{synthesiser.name}, {kind}"
                print(row(name, delays), flush=True)
    monitor.close()


def _named(name: str, installed: Sequence[SpokenBy]) -> SpokenBy:
    """The voice called ``name``; a variant of espeak-ng's stands behind a plus sign."""
    from benchmarks.voice_understood import SpokenBy

    base, _, variant = name.partition("+")
    if variant and base == "espeak-ng":
        return SpokenBy(name, EspeakSynthesiser("en-US", variant))
    found = next((voice for voice in installed if voice.name == name), None)
    if found is None:
        raise SystemExit(f"There is no voice '{name}' here.")
    return found


def _nothing() -> None:
    """A voice that cannot be cut short."""


def main() -> None:
    """Print the table that is asked for."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", choices=("latency", "understood"))
    parser.add_argument("--lines", type=int, default=60, help="lines to time")
    parser.add_argument("--whole-lines", type=int, default=12, help="lines for other players")
    parser.add_argument("--series", type=int, default=40, help="torques beside the procedures'")
    both = ("whisper", "ear")
    parser.add_argument("--teens", action="store_true", help="teens and tens only")
    parser.add_argument(
        "--voice", nargs="+", metavar="NAME",
        help="voices for 'understood': espeak-ng, espeak-ng+f2 (any of its variants), piper, "
        "pyttsx3; all that are installed when left out",
    )  # fmt: skip
    parser.add_argument("--listeners", nargs="+", choices=both, default=both)
    asked = parser.parse_args()
    if asked.what == "understood":
        from benchmarks.voice_understood import SpokenBy, understood

        named = [SpokenBy(v.name, v) for v in synthesisers()] + [SpokenBy("pyttsx3", None)]
        if asked.voice:
            named = [_named(name, named) for name in asked.voice]
        understood(named, 0 if asked.teens else asked.series, asked.listeners, asked.teens)
    elif _INSIDE in os.environ:
        latency(asked.lines, asked.whole_lines)
    else:
        # PortAudio looks for devices once in a process: start again where the sound is.
        with (
            tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder,
            virtual_sound(Path(folder)) as env,
        ):
            again = [sys.executable, "-m", "benchmarks.voice_bench", *sys.argv[1:]]
            home = {"HOME": os.environ.get("HOME", folder)}  # where the models lie
            subprocess.run(again, env=env | home | {_INSIDE: "1"}, check=True)


if __name__ == "__main__":
    main()
