"""The loudspeaker: plays sound through and tells when it has sounded, or is cut short."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Future, wait
from contextlib import contextmanager
from threading import Event
from typing import Any

import numpy as np
import soxr

from assistant.audio.devices import PLAYING, find_device, portaudio
from assistant.speech.errors import SpeechError
from assistant.speech.types import Samples
from assistant.voice.spoken_cache import Spoken

_CHUNK_S = 0.05
# Kept ahead of the sound card. With the card's own proposal (0.03 s) a busy machine tore holes into
# words; with 0.1 s there were five underruns in 66 lines at a load of 10, with 0.3 s none. The
# first sound came as soon (measured, PulseAudio).
_AHEAD_S = 0.3
# A sound server that was idle swallows the beginning, of the very first sound more, and closing
# drops the end that it still holds (all measured with PulseAudio): so much silence goes before and
# after. With 0.05 s the first sound lost 0.07 s; with 0.1 s nothing.
_FIRST_S, _BEFORE_S, _AFTER_S = 0.15, 0.05, 0.1
# Of silence ahead of a device that waits for a line being made, and of silence given at a time.
# A sound server takes it by 0.025 s, so with less than _LEAST_S the device is woken again: that
# happens where this program was kept waiting.
_HELD_S, _LEAST_S, _BIT_S = 0.05, 0.03, 0.01
_USUAL_RATE = 22050  # of the synthesisers


class Ahead:
    """How much a device has still to play: counted in its own samples, never by a clock.

    A first write may wait for room, and a sound server may begin late, so the time since a write
    says nothing about what is left of it.
    """

    def __init__(self, stream: Any) -> None:
        """``stream`` is open, and nothing was written to it yet."""
        self._stream = stream
        self._rate = int(stream.samplerate)
        self._room: int = stream.write_available

    def seconds(self) -> float:
        """Sound that the device still holds, in seconds; negative where it counts what it lacks."""
        return (self._room - int(self._stream.write_available)) / self._rate

    def silence(self, seconds: float) -> None:
        """Let it hold ``seconds`` of silence more."""
        self._stream.write(np.zeros(int(seconds * self._rate), np.int16))


class Loudspeaker:
    """Plays mono int16 samples of any rate on the device whose name holds ``device``.

    Opened again for each call: that
    costs a few milliseconds (see benchmarks/voice_bench.py), lets other programs sound between,
    and finds a loudspeaker that was unplugged and plugged in again.

    Raises:
        SpeechError: there is no loudspeaker.
    """

    def __init__(self, device: str | None = None) -> None:
        find_device(device, "output")
        self._wanted = device
        self._cut = Event()
        self._rate = _USUAL_RATE  # that the next line is likely to have
        self._before_s = _FIRST_S

    def play(self, samples: Samples, rate: int) -> bool:
        """Play and return when it has sounded; False when it was cut short.

        Raises:
            SpeechError: the loudspeaker is gone or cannot be used.
        """
        made: Future[Spoken] = Future()
        made.set_result(Spoken(samples, rate))
        return self._play(made, rate)

    def play_when(self, made: Future[Spoken]) -> bool:
        """As :meth:`play`, with sound that is still being made: the device wakes up meanwhile.

        Raises:
            SpeechError: the loudspeaker is gone or cannot be used, or making the sound failed.
        """
        return self._play(made, self._rate)

    def _play(self, made: Future[Spoken], rate: int) -> bool:
        self._cut.clear()
        with PLAYING:
            while True:
                with self._stream(rate) as stream:
                    spoken = self._awaited(stream, made, rate)
                    if spoken is None or spoken.rate == rate:
                        return spoken is not None and self._write(stream, spoken)
                self._rate = rate = spoken.rate  # another voice than the last

    @contextmanager
    def _stream(self, rate: int) -> Iterator[Any]:
        """The open device, for sound of ``rate`` or, if it does not take that, of its own."""
        sound = portaudio()
        found = find_device(self._wanted, "output")
        try:
            sound.check_output_settings(found["index"], 1, "int16", samplerate=rate)
        except sound.PortAudioError:
            rate = int(found["default_samplerate"])
        try:
            with sound.OutputStream(
                rate, device=found["index"], channels=1, dtype="int16", latency=_AHEAD_S
            ) as stream:
                yield stream
        except sound.PortAudioError as error:
            raise SpeechError(
                f"The loudspeaker '{found['name']}' cannot be used ({error}); plug it in again, or "
                "choose another as the system's default."
            ) from error

    def stop(self) -> None:
        """Cut short what is playing; may be called from any thread."""
        self._cut.set()

    def _awaited(self, stream: Any, made: Future[Spoken], rate: int) -> Spoken | None:
        """Wake the device with silence, on and on until the sound is made; None when cut.

        Sound of ``rate`` comes back at the rate that the stream has.
        """
        ahead = Ahead(stream)
        ahead.silence(self._before_s)
        self._before_s = _BEFORE_S
        while not self._cut.is_set():
            wait((made,), max(_BIT_S / 2, ahead.seconds() - _HELD_S))
            if made.done():
                spoken = made.result()
                if spoken.rate == rate:
                    spoken = _at_rate(spoken, int(stream.samplerate))  # takes its time, so now
                held_s = ahead.seconds()
                if held_s < _LEAST_S:
                    ahead.silence(_BEFORE_S - min(0.0, held_s))
                return spoken
            if ahead.seconds() <= _HELD_S:
                ahead.silence(_BIT_S)
        stream.abort()
        return None

    def _write(self, stream: Any, spoken: Spoken) -> bool:
        rate, samples = int(stream.samplerate), spoken.samples
        chunk = max(1, int(rate * _CHUNK_S))
        for start in range(0, len(samples), chunk):
            if self._cut.is_set():
                stream.abort()  # what is kept ahead is not played
                return False
            stream.write(np.ascontiguousarray(samples[start : start + chunk]))
        stream.write(np.zeros(int((stream.latency + _AFTER_S) * rate), np.int16))
        return not self._cut.is_set()


def _at_rate(spoken: Spoken, rate: int) -> Spoken:
    if rate == spoken.rate:
        return spoken
    return Spoken(soxr.resample(spoken.samples, spoken.rate, rate), rate)
