"""Cuts a stream of audio into utterances with the WebRTC voice-activity detector."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np
import webrtcvad

from assistant.speech.types import SAMPLE_RATE, Samples, Utterance

_FRAME_S = 0.03
_FRAME = int(_FRAME_S * SAMPLE_RATE)


@dataclass(frozen=True)
class EndpointSettings:
    """When an utterance begins and ends; all times in seconds.

    ``aggressiveness``: 0 (lets through most) to 3 of the detector. ``onset_s``: voiced time
    within twice as long that opens an utterance. ``pre_roll_s``: sound kept from before that.
    ``trailing_silence_s``: quiet that closes it. ``shortest_s``: less voiced time than this is a
    click and is dropped (the detector itself holds on for about 0.15 s after any sound).
    ``longest_s``: an utterance is cut off there.
    """

    aggressiveness: int = 2
    onset_s: float = 0.09
    pre_roll_s: float = 0.3
    trailing_silence_s: float = 0.6
    shortest_s: float = 0.27
    longest_s: float = 12.0


class Endpointer:
    """Turns int16 mono blocks at 16 kHz, of any length, into utterances. Same in, same out."""

    def __init__(self, settings: EndpointSettings | None = None) -> None:
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

    @property
    def speaking(self) -> bool:
        """True while an utterance is open."""
        return bool(self._kept)

    def feed(self, block: Samples) -> list[Utterance]:
        """Take a block; return the utterances that ended in it."""
        joined = np.concatenate((self._rest, block))
        whole = len(joined) // _FRAME * _FRAME
        self._rest = joined[whole:]
        ended = (self._frame(frame) for frame in joined[:whole].reshape(-1, _FRAME))
        return [utterance for utterance in ended if utterance is not None]

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
        return None

    def _continue(self, frame: Samples, voiced: bool) -> Utterance | None:
        self._kept.append(frame)
        self._voiced += voiced
        self._quiet = 0 if voiced else self._quiet + 1
        full = len(self._kept) >= _frames(self._settings.longest_s)
        if full or self._quiet >= _frames(self._settings.trailing_silence_s):
            return self._close()
        return None

    def _close(self) -> Utterance | None:
        start_s = self._first * _FRAME_S
        samples = np.concatenate(self._kept)
        long_enough = self._voiced >= _frames(self._settings.shortest_s)
        self.reset()
        if not long_enough:
            return None
        return Utterance(samples, start_s, start_s + len(samples) / SAMPLE_RATE)


def utterances(
    blocks: Iterable[Samples], settings: EndpointSettings | None = None
) -> Iterator[Utterance]:
    """Yield each utterance of a stream as soon as it has ended."""
    for heard in heard_or_quiet(blocks, settings):
        if heard is not None:
            yield heard


def heard_or_quiet(
    blocks: Iterable[Samples], settings: EndpointSettings | None = None
) -> Iterator[Utterance | None]:
    """Yield each utterance, and None after every block that ended none while nobody speaks.

    The None lets a caller notice that it has waited long enough.
    """
    endpointer = Endpointer(settings)
    for block in blocks:
        ended = endpointer.feed(block)
        yield from ended
        if not ended and not endpointer.speaking:
            yield None
    yield from endpointer.finish()


def _frames(seconds: float) -> int:
    """The number of detector frames in ``seconds``, at least one."""
    return max(1, round(seconds / _FRAME_S))
