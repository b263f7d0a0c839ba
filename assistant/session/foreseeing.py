"""What is likely to be said next, so that a voice can prepare it. Pure: it asks the core."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.dialogue.commands import ANYTIME, ASKED_OFTEN
from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.effects import Say
from assistant.dialogue.events import AnyEvent, Heard, TimerElapsed
from assistant.dialogue.expectation import listening
from assistant.dialogue.state import State
from assistant.language.hypothesis import typed


def foreseen(context: Context, state: State, at: str) -> Iterator[Say]:
    """Every sentence that would answer one of the things that may be said in ``state``.

    The answers to the state's own commands and phrases come first. Values and spellings are too
    many to be foreseen. ``at``: the present instant, ISO 8601; nothing depends on it.
    """
    seen: set[Say] = set()
    for event in _events(context, state, at):
        _, effects = advance(context, state, event)
        for effect in effects:
            if isinstance(effect, Say) and effect.text and effect not in seen:
                seen.add(effect)
                yield effect


def _events(context: Context, state: State, at: str) -> Iterator[AnyEvent]:
    if not state.opened or state.stopped:
        return
    spec = listening(context, state).spec
    language = context.language
    own = [c for c in spec.commands if c not in ANYTIME]
    asides = [c for c in ASKED_OFTEN if c in spec.commands]
    lines = [language.phrase_for(c) for c in own]
    lines += [words for _, words in spec.phrases]
    lines += [language.phrase_for(c) for c in asides]
    for line in lines:
        yield Heard(at=at, recognition=typed(line))
    for step, until in state.waits.items():
        yield TimerElapsed(at=until, step=step)
