"""What one event writes to the journal: itself, its facts and the sentences to be spoken."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.dialogue.effects import Effect, Record, Say
from assistant.dialogue.events import AnyEvent, Heard
from assistant.journal.types import Draft


def drafts(event: AnyEvent, effects: Iterable[Effect]) -> list[Draft]:
    """``event`` and what is to be kept of its ``effects``, in their order."""
    made = [_of_event(event)]
    for effect in effects:
        if isinstance(effect, Record):
            made.append(Draft("fact", event.at, effect.fact.model_dump(mode="json")))
        elif isinstance(effect, Say) and effect.text:
            made.append(Draft("said", event.at, _of_line(effect)))
    return made


def _of_line(said: Say) -> dict[str, str]:
    sound = {"sound": said.sound} if said.sound else {}
    return {"text": said.text, "tone": said.tone, **sound}


def _of_event(event: AnyEvent) -> Draft:
    body = event.model_dump(mode="json")
    if isinstance(event, Heard):
        return Draft("event", event.at, body, event.clip, event.recognition.engine)
    return Draft("event", event.at, body)
