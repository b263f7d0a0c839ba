"""The loudspeaker: plays sound through and tells when it has sounded, or is cut short."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event
from typing import Any

import numpy as np
import soxr

from assistant.audio.devices import PLAYING, find_device, portaudio
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

_CHUNK_S = 0.05
# Kept ahead of the sound card. With the card's own proposal (0.03 s) a busy machine tore holes into
# words; with this it did not, and the first sound came as soon (measured, PulseAudio).
_AHEAD_S = 0.1
# A sound server that was idle swallows the beginning, and closing drops the end that it still holds
# (both measured with PulseAudio): so much silence goes before and after.
_BEFORE_S, _AFTER_S = 0.05, 0.1

Tap = Callable[[Samples], None]
"""Given what is about to sound: mono int16 at 16 kHz (for an echo canceller, say)."""


class Loudspeaker:
    """Plays mono int16 samples of any rate on the device whose name holds ``device``.

    ``tap`` hears what is played, up to 0.1 s before it sounds. Opened anew for each call: that
    costs a few milliseconds (see benchmarks/voice_bench.py), lets other programs sound between,
    and finds a loudspeaker that was unplugged and plugged in again.

    Raises:
        SpeechError: there is no loudspeaker.
    """

    def __init__(self, device: str | None = None, tap: Tap | None = None) -> None:
        find_device(device, "output")
        self._wanted = device
        self._cut = Event()
        self.tap = tap

    def play(self, samples: Samples, rate: int) -> bool:
        """Play and return when it has sounded; False when it was cut short.

        Raises:
            SpeechError: the loudspeaker is gone or cannot be used.
        """
        self._cut.clear()
        with PLAYING:
            return self._played(samples, rate)

    def _played(self, samples: Samples, rate: int) -> bool:
        sound = portaudio()
        found = find_device(self._wanted, "output")
        try:
            samples, rate = self._for_device(samples, rate, found)
            with sound.OutputStream(
                rate, device=found["index"], channels=1, dtype="int16", latency=_AHEAD_S
            ) as stream:
                return self._write(stream, samples, rate)
        except sound.PortAudioError as error:
            raise SpeechError(
                f"The loudspeaker '{found['name']}' cannot be used ({error}); plug it in again, or "
                "choose another as the system's default."
            ) from error

    def stop(self) -> None:
        """Cut short what is playing; may be called from any thread."""
        self._cut.set()

    def _write(self, stream: Any, samples: Samples, rate: int) -> bool:
        stream.write(np.zeros(int(_BEFORE_S * rate), np.int16))
        chunk = max(1, int(rate * _CHUNK_S))
        for start in range(0, len(samples), chunk):
            if self._cut.is_set():
                stream.abort()  # what is kept ahead is not played
                return False
            part = np.ascontiguousarray(samples[start : start + chunk])
            if self.tap is not None:
                self.tap(part if rate == SAMPLE_RATE else soxr.resample(part, rate, SAMPLE_RATE))
            stream.write(part)
        stream.write(np.zeros(int((stream.latency + _AFTER_S) * rate), np.int16))
        return not self._cut.is_set()

    @staticmethod
    def _for_device(samples: Samples, rate: int, found: dict[str, object]) -> tuple[Samples, int]:
        """The samples at a rate that the device takes: their own, else the device's."""
        sound = portaudio()
        try:
            sound.check_output_settings(found["index"], 1, "int16", samplerate=rate)
        except sound.PortAudioError:
            own = int(str(found["default_samplerate"]).split(".")[0])
            return soxr.resample(samples, rate, own), own
        return samples, rate
