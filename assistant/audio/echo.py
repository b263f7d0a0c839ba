"""Takes what the assistant itself says out of what the microphone hears.

The canceller (AEC3 of the WebRTC project) finds the time from what is played to what comes back,
and the room's answer, by itself, and needs a second or two for it. That time must then stay the
same. So what was played is matched with what was captured by counting samples on both sides: on a
busy machine blocks arrive late on either side, and a late block must change nothing.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from threading import Lock
from typing import Protocol

import numpy as np

from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

_FRAME = SAMPLE_RATE // 100  # the canceller takes hundredths of a second
_MOST_KEPT = 2 * SAMPLE_RATE
# How far what was played runs ahead of what is needed of it. AEC3 finds times up to about 0.5 s,
# and the loudspeaker's own 0.2 s are a part of that.
_LEAD, _MOST_LEAD = SAMPLE_RATE // 20, SAMPLE_RATE // 5
_WINDOW = 2 * SAMPLE_RATE  # a lead that is off all this while was not just a late block
_MOST_HELD = SAMPLE_RATE // 2  # captured sound that waits for what was played
_NO_LIBRARY = (
    "Listening while speaking needs the library pywebrtc-audio; install it with the extra "
    "'interruptible', or leave --interruptible out."
)


@dataclass(frozen=True)
class PlaybackPosition:
    """How much was played in all, and at which sample this stream began (None: none is open)."""

    given: int
    since: int | None


class Played:
    """What was given to the loudspeaker, each sample known by its number. Safe between threads."""

    def __init__(self) -> None:
        self._kept: deque[Samples] = deque()
        self._first = 0  # number of the first sample that is kept
        self._given = 0
        self._since: int | None = None
        self._lock = Lock()

    def begin(self) -> None:
        """A stream has been opened."""
        with self._lock:
            self._since = self._given

    def end(self) -> None:
        """The stream is closed: nothing sounds."""
        with self._lock:
            self._since = None

    def put(self, block: Samples) -> None:
        """``block`` is about to sound. Of what nobody takes the newest two seconds are kept."""
        with self._lock:
            self._kept.append(block)
            self._given += len(block)
            self._drop_before(self._given - _MOST_KEPT)

    def position(self) -> PlaybackPosition:
        """Where the stream is."""
        with self._lock:
            return PlaybackPosition(self._given, self._since)

    def take(self, start: int, length: int) -> Samples:
        """The samples from number ``start`` on; silence for what is not kept. Drops all before."""
        out = np.zeros(length, np.int16)
        with self._lock:
            at = self._first
            for block in self._kept:
                low, high = max(start, at), min(start + length, at + len(block))
                if low < high:
                    out[low - start : high - start] = block[low - at : high - at]
                at += len(block)
            self._drop_before(start + length)
        return out

    def _drop_before(self, number: int) -> None:
        while self._kept and self._first + len(self._kept[0]) <= number:
            self._first += len(self._kept.popleft())


class Canceller(Protocol):
    """Takes the echo of ``far`` out of ``near``; both int16 at 16 kHz, whole 10 ms frames."""

    def process(self, near: Samples, far: Samples) -> Samples:
        """``near`` without the echo."""


class EchoGate:
    """Lets all sound through, without what the assistant itself says.

    Captured sound waits, half a second at most, where what was played meanwhile is not known yet.
    The two are only matched again where the loudspeaker was opened, or where sound was lost on one
    side: then one runs away from the other and stays away.
    """

    def __init__(self, played: Played, canceller: Canceller | None = None) -> None:
        self._played = played
        self._canceller = canceller or webrtc_canceller()
        self._near: Samples = np.zeros(0, np.int16)
        self._position = PlaybackPosition(0, None)
        self._matched = False
        self._next = 0  # number of the played sample that belongs to the first of ``_near``
        self._leads: deque[tuple[int, int]] = deque()  # (samples captured, lead) of late

    def take(self, block: Samples) -> Samples | None:
        """``block`` without the echo; a part of a frame, or what is ahead, waits for the next."""
        self._near = np.concatenate((self._near, block))
        far = self._far(len(self._near) // _FRAME * _FRAME, len(block))
        if not len(far):
            return None
        near, self._near = self._near[: len(far)], self._near[len(far) :]
        return self._canceller.process(near, far)

    def _far(self, wanted: int, new: int) -> Samples:
        """What was played to the first ``wanted`` captured samples, as far as it is known."""
        position, before = self._played.position(), self._position
        self._position = position
        if position.since is None or position.since != before.since:
            self._matched = False
        if not self._matched and (position.since is None or position.given == before.given):
            return np.zeros(wanted, np.int16)  # nothing sounds, or not yet
        lead = position.given - self._next - len(self._near)
        if not self._matched or self._out_of_step(lead, new):
            self._matched = True
            self._leads.clear()
            self._next = position.given - len(self._near) - _LEAD
        known = min(wanted, max(0, position.given - self._next) // _FRAME * _FRAME)
        if wanted - known > _MOST_HELD:  # it takes no sound any more
            self._matched = False
            return np.zeros(wanted, np.int16)
        far = self._played.take(self._next, known)
        self._next += known
        return far

    def _out_of_step(self, lead: int, new: int) -> bool:
        """Whether the lead was too long or too short in all of the last two seconds."""
        if lead > _MOST_KEPT:
            return True
        self._leads.append((new, lead))
        while sum(n for n, _ in self._leads) - self._leads[0][0] >= _WINDOW:
            self._leads.popleft()
        if sum(n for n, _ in self._leads) < _WINDOW:
            return False
        leads = [lead for _, lead in self._leads]
        return min(leads) > _MOST_LEAD or max(leads) < 0


def webrtc_canceller() -> Canceller:
    """The echo canceller of the WebRTC project.

    Raises:
        SpeechError: its library is not installed.
    """
    try:
        from pywebrtc_audio import EchoCanceller
    except ImportError as error:
        raise SpeechError(_NO_LIBRARY) from error
    made: Canceller = EchoCanceller(sample_rate=SAMPLE_RATE)
    return made
