"""Cuts a stream of audio into utterances with the WebRTC voice-activity detector."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Protocol, assert_never

import numpy as np
import webrtcvad

from assistant.speech.types import PAUSE, SAMPLE_RATE, Samples, Utterance

_FRAME_S = 0.03
_FIRST_WORD_S = 0.3
"""Seconds in which a word that begins is heard as one."""
_FRAME = int(_FRAME_S * SAMPLE_RATE)


@dataclass(frozen=True)
class EndpointSettings:
    """When an utterance begins and ends; all times in seconds.

    ``aggressiveness``: 0 (lets through most) to 3 of the detector. ``onset_s``: voiced time
    within twice as long that opens an utterance. ``pre_roll_s``: sound kept from before that.
    ``trailing_silence_s``: quiet that closes it. ``shortest_s``: less voiced time than this is a
    click and is dropped (the detector itself holds on for about 0.15 s after any sound).
    ``longest_s``: an utterance is cut off there. ``first_look_s``: after so long without a pause
    the follower is asked whether there is any speech in the sound at all, and again when it says
    so: a machine keeps the detector awake.
    """

    aggressiveness: int = 2
    onset_s: float = 0.09
    pre_roll_s: float = 0.3
    trailing_silence_s: float = 0.6
    shortest_s: float = 0.27
    longest_s: float = 12.0
    first_look_s: float = 1.8


@dataclass(frozen=True)
class GoesOn:
    """Somebody speaks, or may go on; it is worth another look in ``again_s`` seconds."""

    again_s: float


@dataclass(frozen=True)
class IsOver:
    """Somebody has spoken, and only noise goes on: nothing is said after ``spoken`` samples."""

    spoken: int


@dataclass(frozen=True)
class Nothing:
    """Nobody has spoken at all."""


EndpointVerdict = GoesOn | IsOver | Nothing
"""What a look at an utterance shows that goes on without a pause."""


class Follower(Protocol):
    """Follows an utterance while it is being spoken."""

    def begin(self) -> None:
        """An utterance has begun."""

    def paused(self, utterance: Utterance) -> None:
        """The speaker has been quiet for a moment; ``utterance`` is what there is so far."""

    def quiet_needed(self) -> float | None:
        """Seconds of quiet that end the utterance as it stands; None for the usual time."""

    def looked(self, utterance: Utterance) -> EndpointVerdict:
        """What is in ``utterance``, which goes on without a pause."""


class Endpointer:
    """Turns int16 mono blocks at 16 kHz, of any length, into utterances. Same in, same out.

    ``follower``: told of each pause, asked how much quiet ends the utterance, and whether long
    sound without a pause is speech.
    """

    def __init__(
        self, settings: EndpointSettings | None = None, follower: Follower | None = None
    ) -> None:
        self.follower = follower
        self._settings = settings or EndpointSettings()
        self._detector = webrtcvad.Vad(self._settings.aggressiveness)
        self._rest: Samples = np.zeros(0, np.int16)
        self._position = 0  # frames taken so far
        self._before: deque[Samples] = deque(maxlen=_frames(self._settings.pre_roll_s))
        self._recent: deque[bool] = deque(maxlen=2 * _frames(self._settings.onset_s))
        self._kept: list[Samples] = []
        self._first = 0
        self._voiced = 0
        self._quiet = 0
        self._look_due = 0  # frames of the utterance

    @property
    def speaking(self) -> bool:
        """True while an utterance is open."""
        return bool(self._kept)

    def feed(self, block: Samples) -> list[Utterance]:
        """Take a block; return the utterances that ended in it."""
        return list(self.follow(block))

    def follow(self, block: Samples) -> Iterator[Utterance]:
        """As :meth:`feed`, but each utterance is given out before the sound after it is looked at.

        So what is done about an utterance comes before the next one, whatever the block's length.
        """
        joined = np.concatenate((self._rest, block))
        whole = len(joined) // _FRAME * _FRAME
        self._rest = joined[whole:]
        for frame in joined[:whole].reshape(-1, _FRAME):
            utterance = self._frame(frame)
            if utterance is not None:
                yield utterance

    def finish(self) -> list[Utterance]:
        """End of the source: return the utterance still open, if any."""
        if not self._kept:
            return []
        utterance = self._close()
        return [utterance] if utterance is not None else []

    def reset(self) -> None:
        """Forget the utterance in the making, as when the assistant begins to speak."""
        self._kept = []
        self._before.clear()
        self._recent.clear()

    def _frame(self, frame: Samples) -> Utterance | None:
        voiced = self._detector.is_speech(frame.tobytes(), SAMPLE_RATE)
        self._position += 1
        if self._kept:
            return self._continue(frame, voiced)
        self._before.append(frame)
        self._recent.append(voiced)
        if sum(self._recent) >= _frames(self._settings.onset_s):
            self._kept = list(self._before)
            self._first = self._position - len(self._kept)
            self._voiced = sum(self._recent)
            self._quiet = 0
            self._look_due = _frames(self._settings.first_look_s)
            if self.follower is not None:
                self.follower.begin()
        return None

    def _continue(self, frame: Samples, voiced: bool) -> Utterance | None:
        self._kept.append(frame)
        self._voiced += voiced
        if voiced and self._quiet >= _frames(PAUSE / SAMPLE_RATE):
            # Whoever goes on after a pause must be heard before it is said that nobody speaks.
            self._look_due = max(self._look_due, len(self._kept) + _frames(_FIRST_WORD_S))
        self._quiet = 0 if voiced else self._quiet + 1
        paused = self._quiet == _frames(PAUSE / SAMPLE_RATE) and self._long_enough()
        if paused and self.follower is not None:
            self.follower.paused(self._utterance())
        if self._quiet >= self._quiet_needed():
            return self._close()
        if len(self._kept) >= _frames(self._settings.longest_s):
            return self._close(cut=True)
        return self._look() if self._time_to_look() else None

    def _time_to_look(self) -> bool:
        due = len(self._kept) >= self._look_due
        return due and self._quiet == 0 and self.follower is not None and self._long_enough()

    def _look(self) -> Utterance | None:
        """The utterance once it is over; dropped where there is none."""
        assert self.follower is not None
        verdict = self.follower.looked(self._utterance())
        match verdict:
            case GoesOn(again_s=seconds):
                self._look_due = len(self._kept) + _frames(seconds)
            case IsOver(spoken=spoken):
                closed = self._close()
                return None if closed is None else replace(closed, spoken=spoken, noisy=True)
            case Nothing():
                latest = self._kept[-_frames(self._settings.pre_roll_s) :]
                self.reset()
                self._before.extend(latest)
            case _:
                assert_never(verdict)
        return None

    def _quiet_needed(self) -> int:
        """Frames of quiet that end the utterance as it stands."""
        usual = _frames(self._settings.trailing_silence_s)
        if self.follower is None or self._quiet < _frames(PAUSE / SAMPLE_RATE):
            return usual
        asked = self.follower.quiet_needed()
        return usual if asked is None else _frames(asked)

    def _long_enough(self) -> bool:
        return self._voiced >= _frames(self._settings.shortest_s)

    def _utterance(self) -> Utterance:
        start_s = self._first * _FRAME_S
        samples = np.concatenate(self._kept)
        spoken = (len(self._kept) - self._quiet) * _FRAME
        return Utterance(samples, start_s, start_s + len(samples) / SAMPLE_RATE, spoken)

    def _close(self, cut: bool = False) -> Utterance | None:
        utterance = replace(self._utterance(), cut=cut) if self._long_enough() else None
        self.reset()
        return utterance


def utterances(
    blocks: Iterable[Samples], settings: EndpointSettings | None = None
) -> Iterator[Utterance]:
    """Yield each utterance of a stream as soon as it has ended."""
    for heard in heard_or_quiet(blocks, settings):
        if heard is not None:
            yield heard


class Listening:
    """A stream of blocks as utterances, and None after a block without while nobody speaks.

    The None lets a caller notice that it has waited long enough.
    """

    def __init__(self, blocks: Iterable[Samples], settings: EndpointSettings | None = None) -> None:
        self._endpointer = Endpointer(settings)
        self._heard = self._listen(blocks)

    def tell(self, follower: Follower) -> None:
        """From now on tell ``follower`` of each utterance while it is spoken."""
        self._endpointer.follower = follower

    def __iter__(self) -> Iterator[Utterance | None]:
        return self

    def __next__(self) -> Utterance | None:
        return next(self._heard)

    def _listen(self, blocks: Iterable[Samples]) -> Iterator[Utterance | None]:
        for block in blocks:
            ended = False
            for utterance in self._endpointer.follow(block):
                ended = True
                yield utterance
            if not ended and not self._endpointer.speaking:
                yield None
        yield from self._endpointer.finish()


def heard_or_quiet(
    blocks: Iterable[Samples], settings: EndpointSettings | None = None
) -> Listening:
    """Each utterance of ``blocks``, and None now and then while nobody speaks."""
    return Listening(blocks, settings)


def _frames(seconds: float) -> int:
    """The number of detector frames in ``seconds``, at least one."""
    return max(1, round(seconds / _FRAME_S))
