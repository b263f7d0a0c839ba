"""A microphone that may be pulled out and plugged in again without ending what listens to it."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from threading import Event
from time import monotonic
from typing import Literal

import numpy as np

from assistant.audio.devices import find_same, look_again, plain_name
from assistant.audio.gate import HalfDuplexGate
from assistant.audio.microphone import Gate, Microphone, MicrophoneLostError
from assistant.audio.sound_server import SoundSource, microphone_in_use
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

MicrophoneChange = Literal["lost", "back", "overrun", "clipped", "moved"]

_LOOK_EVERY_S = 0.5
_ASK_SOURCE_EVERY_S = 3.0
_CUT_S = 1.5  # of silence: ends what was being said, so that it is not joined to what comes later
NOTHING: Samples = np.zeros(0, np.int16)


@dataclass(frozen=True)
class MicrophoneNews:
    """What happened to the microphone called ``name``: lost, back, sound dropped, or too loud.

    ``moved``: the sound server gives the sound of another one, which is called ``name``.
    """

    what: MicrophoneChange
    name: str


class ReconnectingMicrophone:
    """A :class:`Microphone` that is looked for by its name when it is gone.

    Meanwhile ``blocks`` yields empty blocks, so that the reader can do other things.
    ``news`` tells what happened, each thing once. Read from one thread. ``again`` opens the device
    again, or returns None while it is not there. ``source_in_use`` is asked now and then which
    microphone the sound server gives.
    """

    def __init__(
        self,
        device: str | None = None,
        gate: Gate | None = None,
        again: Callable[[str, Gate], Microphone | None] | None = None,
        look_every_s: float = _LOOK_EVERY_S,
        source_in_use: SoundSource = microphone_in_use,
    ) -> None:
        self._gate: Gate = gate or HalfDuplexGate()
        self._microphone = Microphone(device, self._gate)
        self.name = self._microphone.name
        self._again = again or _open_again
        self._look_every_s = look_every_s
        self._closed = Event()
        self._news: deque[MicrophoneNews] = deque()
        self._overruns_before = 0  # of microphones that were lost
        self._overruns_told = 0
        self._warnings_told = 0
        self._source_in_use = source_in_use
        self._source: str | None = None
        self._ask_source_at = 0.0

    @property
    def overruns(self) -> int:
        """Stretches of sound lost since the start; a lost microphone is not an overrun."""
        return self._overruns_before + self._microphone.overruns

    def news(self) -> MicrophoneNews | None:
        """The oldest news that was not told yet."""
        if self.overruns > self._overruns_told:
            self._overruns_told = self.overruns
            self._tell("overrun")
        if self._microphone.clipping.warnings > self._warnings_told:
            self._warnings_told = self._microphone.clipping.warnings
            self._tell("clipped")
        self._see_source()
        return self._news.popleft() if self._news else None

    def blocks(self) -> Iterator[Samples]:
        """Yield blocks of about a tenth of a second until closed; empty ones while it is lost."""
        while not self._closed.is_set():
            try:
                yield from self._microphone.blocks()
                return
            except MicrophoneLostError:
                self._tell("lost")
                yield np.zeros(int(_CUT_S * SAMPLE_RATE), np.int16)
                yield from self._until_back()

    def close(self) -> None:
        """Stop capturing, or looking."""
        self._closed.set()
        self._microphone.close()

    def __enter__(self) -> ReconnectingMicrophone:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _until_back(self) -> Iterator[Samples]:
        self._microphone.close()
        while not self._closed.is_set():
            found = self._again(self.name, self._gate)
            if found is not None:
                self._overruns_before = self.overruns
                self._warnings_told = 0
                self._microphone = found
                self._tell("back")
                return
            yield NOTHING
            self._closed.wait(self._look_every_s)

    def _tell(self, what: MicrophoneChange, name: str = "") -> None:
        self._news.append(MicrophoneNews(what, name or plain_name(self.name)))

    def _see_source(self) -> None:
        """Tell when the sound server gives another microphone's sound than before."""
        if monotonic() < self._ask_source_at:
            return
        found = self._source_in_use()
        self._ask_source_at = monotonic() + _ASK_SOURCE_EVERY_S  # a server may answer late
        if found is None:
            return
        before, self._source = self._source, found
        if before not in (None, found):
            self._tell("moved", found)


def _open_again(name: str, gate: Gate) -> Microphone | None:
    """The microphone called ``name``, giving sound again; None where it is not."""
    if not look_again():
        return None
    found = find_same(name)
    if found is None:
        return None
    try:
        microphone = Microphone(gate=gate, found=found)
    except SpeechError:
        return None
    if microphone.gives_sound():
        return microphone
    microphone.close()
    return None
