"""Carries out what the dialogue asks for, once it is stored.

If the world answers, the answer is an event: it goes to the session's inbox.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import assert_never

from assistant.dialogue.effects import (
    AdjustVoice,
    Chime,
    Effect,
    EndSession,
    FetchPicture,
    Record,
    Say,
    StartTimer,
)
from assistant.dialogue.events import AnyEvent, PictureFound, PictureMissed, SoundMissed
from assistant.dialogue.expectation import Expectation
from assistant.session.delivery import Delivery
from assistant.session.edges import NoPicture, Pictures
from assistant.session.surroundings import SessionEdges


class EffectRunner:
    """Speaks, chimes, shows and fetches pictures; ``ended`` is how the session was ended."""

    def __init__(self, pictures: Pictures | None, edges: SessionEdges, delivery: Delivery) -> None:
        self.ended: str | None = None
        self._pictures = pictures
        self._output = edges.output
        self._screen = edges.screen
        self._clock = edges.clock
        self._delivery = delivery

    def carry_out(self, effect: Effect, cuts: Expectation | None) -> Iterator[AnyEvent]:
        """Carry out one effect and yield the answer to it, if there is one.

        ``cuts`` is what may interrupt a line; None: nothing may.
        """
        match effect:
            case Say():
                self._delivery.say(effect, cuts)
                if effect.sound and not self._output.can_play(effect.sound):
                    yield SoundMissed(at=self._now(), clip=effect.sound)
            case Chime(which=which):
                self._output.chime(which)
            case Record(fact=fact):
                self._screen.recorded(fact)
            case StartTimer():
                pass  # started when the event was stored, before anything was said
            case AdjustVoice(what=what, steps=steps):
                self._output.adjust(what, steps)
            case FetchPicture():
                yield self._fetched(effect)
            case EndSession(how=how):
                self.ended = how
            case _:
                assert_never(effect)

    def _fetched(self, wanted: FetchPicture) -> PictureFound | PictureMissed:
        found = NoPicture("no_folder") if self._pictures is None else self._pictures.fetch(wanted)
        at, step = self._now(), wanted.step
        if isinstance(found, NoPicture):
            return PictureMissed(at=at, step=step, **asdict(found))
        return PictureFound(at=at, step=step, **asdict(found))

    def _now(self) -> str:
        return self._clock.now().isoformat()
