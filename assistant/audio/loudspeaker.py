"""The loudspeaker: plays sound through and tells when it has sounded, or is cut short."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event

import numpy as np
import soxr

from assistant.audio.devices import PLAYING, find_device, portaudio
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

_CHUNK_S = 0.1

Tap = Callable[[Samples], None]
"""Given what is about to sound: mono int16 at 16 kHz (for an echo canceller, say)."""


class Loudspeaker:
    """Plays mono int16 samples of any rate on the device whose name holds ``device``.

    ``tap`` hears what is played. Opened anew for each call: that costs a few milliseconds
    (see benchmarks/voice_bench.py), lets other programs sound between, and finds a loudspeaker
    that was unplugged and plugged in again.

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
                rate, device=found["index"], channels=1, dtype="int16", latency="high"
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

    def _write(self, stream: object, samples: Samples, rate: int) -> bool:
        chunk = max(1, int(rate * _CHUNK_S))
        for start in range(0, len(samples), chunk):
            if self._cut.is_set():
                return False
            part = np.ascontiguousarray(samples[start : start + chunk])
            if self.tap is not None:
                self.tap(part if rate == SAMPLE_RATE else soxr.resample(part, rate, SAMPLE_RATE))
            stream.write(part)  # type: ignore[attr-defined]
        # Closing drops what the sound server still holds (measured with PulseAudio): fill it up.
        held = int(stream.latency * rate)  # type: ignore[attr-defined]
        stream.write(np.zeros(held, np.int16))  # type: ignore[attr-defined]
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
