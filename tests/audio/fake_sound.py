"""A sound library on a clock of its own: a loudspeaker that swallows what comes too late.

It plays as a sound server does. What is written goes into a buffer of limited size; a write waits
while that is full. Playing begins with the first write, and the server takes a period at a time. If
there is less than a period, the rest is silence. As much of what is written next came too late, and
is dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from concurrent.futures import Future
from typing import Any

import numpy as np
import pytest

from assistant.audio import loudspeaker
from assistant.speech.types import Samples

_PERIOD_S = 0.025  # of PulseAudio through ALSA, for a latency of 0.1 s (measured)


class FakeStream:
    """Written to by blocking; ``heard`` is all that sounds, from its first write on."""

    def __init__(self, sound: FakeSound, rate: int) -> None:
        self.samplerate = float(rate)
        self.latency = 0.1
        self.heard: Samples = np.zeros(0, np.int16)
        self._sound = sound
        self._room = int(sound.room_s * rate)
        self._queue: Samples = np.zeros(0, np.int16)
        self._began_s: float | None = None
        self._sounded = 0
        self._owed = 0

    @property
    def write_available(self) -> int:
        self._play_on()
        return self._room - len(self._queue) + self._owed

    def write(self, samples: Samples) -> bool:
        self._play_on()
        if self._began_s is None:
            self._began_s = self._sound.now_s
        while len(samples):
            late, self._owed = samples[: self._owed], max(0, self._owed - len(samples))
            samples = samples[len(late) :]
            part = self._room - len(self._queue)
            self._queue = np.concatenate((self._queue, samples[:part]))
            samples = samples[part:]
            if len(samples):
                self._sound.pass_s(_PERIOD_S)
                self._play_on()
        self._sound.pass_s(self._sound.busy_s)
        return False

    def abort(self) -> None:
        self._queue = self._queue[:0]
        self._began_s = None

    def __enter__(self) -> FakeStream:
        return self

    def __exit__(self, *error: object) -> None:
        self._sound.pass_s(len(self._queue) / self.samplerate + _PERIOD_S)
        self._play_on()

    def _play_on(self) -> None:
        """Play the periods that are due by now, with silence where nothing is there for them."""
        if self._began_s is None:
            return
        period = round(_PERIOD_S * self.samplerate)
        periods = int((self._sound.now_s - self._began_s) / _PERIOD_S + 1e-6)
        due = periods * period - self._sounded
        part, self._queue = self._queue[:due], self._queue[due:]
        self.heard = np.concatenate((self.heard, part, np.zeros(due - len(part), np.int16)))
        self._sounded += due
        self._owed += due - len(part)


class FakeSound:
    """In place of the module sounddevice. ``busy_s``: time that each call takes on this machine."""

    PortAudioError = RuntimeError

    def __init__(self, monkeypatch: pytest.MonkeyPatch, room_s: float, busy_s: float) -> None:
        self.room_s, self.busy_s, self.now_s = room_s, busy_s, 0.0
        self.streams: list[FakeStream] = []
        self._due: list[tuple[float, Callable[[], None]]] = []
        monkeypatch.setattr(loudspeaker, "portaudio", lambda: self)
        monkeypatch.setattr(loudspeaker, "find_device", lambda *asked: {"index": 0, "name": "fake"})
        monkeypatch.setattr(loudspeaker, "wait", self._wait)
        monkeypatch.setattr(loudspeaker, "monotonic", lambda: self.now_s, raising=False)

    def at(self, when_s: float, act: Callable[[], None]) -> None:
        """Do ``act`` at ``when_s``."""
        self._due.append((when_s, act))

    def pass_s(self, seconds: float) -> None:
        """Let time pass."""
        self.now_s += seconds
        for due in [x for x in self._due if x[0] <= self.now_s]:
            self._due.remove(due)
            due[1]()

    def check_output_settings(self, *asked: object, **settings: object) -> None:
        """Any are fine."""

    def OutputStream(self, rate: int, **settings: Any) -> FakeStream:  # noqa: N802
        self.streams.append(FakeStream(self, rate))
        return self.streams[-1]

    def _wait(self, futures: Iterable[Future[Any]], patience_s: float) -> None:
        """As concurrent.futures.wait: returns when one is done, or when time is up."""
        (future,) = futures
        end_s = self.now_s + patience_s
        while not future.done() and self.now_s < end_s:
            next_s = min([end_s, *(when for when, _ in self._due if when > self.now_s)])
            self.pass_s(next_s - self.now_s)
        self.pass_s(self.busy_s)
