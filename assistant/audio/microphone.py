"""The microphone as an audio source: captured in the background, read out in blocks."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from contextlib import suppress
from threading import Condition, Event
from typing import Any, Protocol

import numpy as np
import soxr

from assistant.audio.devices import find_device, portaudio
from assistant.audio.gate import HalfDuplexGate
from assistant.audio.level import ClippingWatch, Level
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

_BLOCK_S = 0.1
_DEAD_S = 3.0  # a live microphone gives a block every tenth of a second, silence or not


class BlockBuffer:
    """A bounded queue between the capture thread and the reader; the oldest is lost when full."""

    def __init__(self, blocks: int) -> None:
        self._blocks: deque[Samples] = deque()
        self._most = blocks
        self._ready = Condition()
        self._closed = False
        self._broken = False
        self.overruns = 0

    def put(self, block: Samples) -> None:
        """Add a block; when full drop the oldest and count an overrun."""
        with self._ready:
            if len(self._blocks) >= self._most:
                self._blocks.popleft()
                self.overruns += 1
            self._blocks.append(block)
            self._ready.notify()

    def get(self, patience_s: float) -> Samples | None:
        """The oldest block; None when closed and empty.

        Raises:
            TimeoutError: nothing came for ``patience_s`` seconds, or nothing more can come.
        """
        with self._ready:
            self._ready.wait_for(lambda: self._blocks or self._closed or self._broken, patience_s)
            if self._blocks:
                return self._blocks.popleft()
            if not self._closed:
                raise TimeoutError
            return None

    def break_off(self) -> None:
        """The device gives nothing more, though nobody closed it."""
        with self._ready:
            self._broken = True
            self._ready.notify_all()

    def close(self) -> None:
        """No more blocks will come."""
        with self._ready:
            self._closed = True
            self._ready.notify_all()


class Gate(Protocol):
    """Decides, in the capture thread, what may be heard."""

    def take(self, block: Samples) -> Samples | None:
        """What of ``block`` may be heard."""


class MicrophoneLostError(SpeechError):
    """The microphone has stopped giving sound."""


class Microphone:
    """Captures 16 kHz mono from the device whose name holds ``device`` (None: the default).

    Use as a context manager. ``gate`` decides what is heard; ``buffer_s`` is how many seconds
    wait for a slow reader before the oldest are lost and counted in ``overruns``. ``found`` is
    the device itself, where the caller has looked for it.
    """

    def __init__(
        self,
        device: str | None = None,
        gate: Gate | None = None,
        buffer_s: float = 30.0,
        found: dict[str, Any] | None = None,
    ) -> None:
        found = find_device(device, "input") if found is None else found
        self.name: str = found["name"]
        self.level = Level.of(np.zeros(0, np.int16))
        self.clipping = ClippingWatch()
        self._gate: Gate = gate or HalfDuplexGate()
        self._buffer = BlockBuffer(max(1, round(buffer_s / _BLOCK_S)))
        self._overflows = 0
        self._resampler: soxr.ResampleStream | None = None
        self._captures = Event()
        self._stream = self._open(found)

    @property
    def overruns(self) -> int:
        """Stretches of sound lost since the start, by the sound card or by a slow reader."""
        return self._buffer.overruns + self._overflows

    def blocks(self) -> Iterator[Samples]:
        """Yield blocks of about a tenth of a second until closed.

        Raises:
            MicrophoneLostError: the microphone has stopped giving sound.
        """
        while True:
            try:
                block = self._buffer.get(_DEAD_S)
            except TimeoutError as error:
                raise MicrophoneLostError(
                    f"The microphone '{self.name}' gives no sound any more; plug it in again and "
                    "resume the session."
                ) from error
            if block is None:
                return
            yield block

    def gives_sound(self) -> bool:
        """Wait for the first block; False when none comes."""
        return self._captures.wait(_DEAD_S)

    def close(self) -> None:
        """Stop capturing."""
        self._buffer.close()
        with suppress(portaudio().PortAudioError):  # of a device that is gone
            self._stream.close()

    def __enter__(self) -> Microphone:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _open(self, found: dict[str, Any]) -> Any:
        """Open at 16 kHz, else at the device's own rate with resampling."""
        sound = portaudio()
        own = int(found["default_samplerate"])
        try:
            rate = SAMPLE_RATE
            try:
                sound.check_input_settings(found["index"], 1, "int16", samplerate=rate)
            except sound.PortAudioError:
                rate = own
                self._resampler = soxr.ResampleStream(own, SAMPLE_RATE, 1, dtype="int16")
            stream = sound.InputStream(
                samplerate=rate,
                blocksize=int(rate * _BLOCK_S),
                device=found["index"],
                channels=1,
                dtype="int16",
                callback=self._captured,
                finished_callback=self._buffer.break_off,
            )
            stream.start()
        except sound.PortAudioError as error:
            raise SpeechError(
                f"The microphone '{self.name}' cannot be opened ({error}); close other programs "
                "that use it, or choose another by name."
            ) from error
        return stream

    def _captured(self, data: Samples, frames: int, time: object, status: Any) -> None:
        """Called by PortAudio in its own thread for each block."""
        self._captures.set()
        if status.input_overflow:
            self._overflows += 1
        block = data[:, 0].copy()
        if self._resampler is not None:
            block = self._resampler.resample_chunk(block)
        self.level = Level.of(block)
        heard = self._gate.take(block)
        if heard is not None:
            self.clipping.take(self.level, len(block))
            self._buffer.put(heard)
