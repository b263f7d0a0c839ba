"""Hold to talk: sound counts only while something is held down, and shortly before and after."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from typing import Protocol

import numpy as np

from assistant.speech.types import SAMPLE_RATE, Samples


class Pedal(Protocol):
    """Something that is held down to talk."""

    def held(self) -> bool:
        """Whether it is held down now.

        Raises:
            SpeechError: it is gone.
        """

    def close(self) -> None:
        """Close the device."""


class HoldToTalk:
    """Which part of the sound may be heard. Times in seconds of captured sound, not of a clock.

    ``before_s`` of sound from before the pressing is taken as well, for who speaks a moment too
    soon; and ``after_s`` from after the release, for who lets go on the last syllable. All else
    comes out as silence of the same length, so that an utterance ends and waits run off.
    """

    def __init__(self, before_s: float = 0.3, after_s: float = 0.4) -> None:
        self._before = int(before_s * SAMPLE_RATE)
        self._after = int(after_s * SAMPLE_RATE)
        self._kept: deque[Samples] = deque()
        self._left = 0  # samples that may still pass

    def take(self, block: Samples, held: bool) -> list[Samples]:
        """What comes out for ``block``, captured while the pedal was ``held`` or not."""
        if held:
            self._left = self._after
            earlier = list(self._kept)
            self._kept.clear()
            return [*earlier, block]
        through, silenced = block[: self._left], block[self._left :]
        self._left -= len(through)
        if len(silenced):
            self._keep(silenced)
        out = np.zeros_like(block)
        out[: len(through)] = through
        return [out]

    def _keep(self, block: Samples) -> None:
        """Remember the newest sound that was not let through."""
        self._kept.append(block)
        over = sum(map(len, self._kept)) - self._before
        while over > 0:
            oldest = self._kept.popleft()
            if len(oldest) > over:
                self._kept.appendleft(oldest[over:])
            over -= len(oldest)


class RepeatingKey:
    """A key of a terminal, which tells of pressing and repeating but never of release.

    A held key repeats after a first delay, so it counts as held for ``first_s`` after a first
    press and for ``repeat_s`` after each repeat. Common keyboards begin to repeat after 0.25 to
    0.66 s, then every 0.03 to 0.04 s (common practice, no source).
    """

    def __init__(self, first_s: float = 0.7, repeat_s: float = 0.25) -> None:
        self._first_s = first_s
        self._repeat_s = repeat_s
        self._last: float | None = None
        self._repeating = False

    def pressed(self, at_s: float) -> None:
        """The key was seen at ``at_s``."""
        self._repeating = self.held(at_s)
        self._last = at_s

    def held(self, at_s: float) -> bool:
        """Whether it counts as held at ``at_s``."""
        grace = self._repeat_s if self._repeating else self._first_s
        return self._last is not None and at_s - self._last < grace


def held_only(
    blocks: Iterable[Samples], pedal: Pedal, gate: HoldToTalk | None = None
) -> Iterator[Samples]:
    """The blocks of a microphone as far as the pedal lets them through.

    Raises:
        SpeechError: the pedal is gone.
    """
    gate = gate or HoldToTalk()
    for block in blocks:
        yield from gate.take(block, pedal.held())
