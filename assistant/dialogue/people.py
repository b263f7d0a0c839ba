"""People at the bench who decide: named by their initials, and never the builder."""

from __future__ import annotations

from assistant.dialogue.context import Context
from assistant.dialogue.state import State
from assistant.dialogue.turn import Turn


def person_phrases(context: Context, state: State) -> tuple[tuple[str, str], ...]:
    """(initials, spoken phrase) of everyone at the bench."""
    return tuple(
        (p.initials, context.language.prompt(
            "person_phrase", initials=context.language.say_spelling(p.initials)
        ))
        for p in state.people
    )  # fmt: skip


def name_of_another(turn: Turn, initials: str) -> str | None:
    """The name of the person called by ``initials``; None of the builder, who may not decide."""
    person = next(p for p in turn.state.people if p.initials == initials)
    if person.role == "builder":
        turn.say("not_the_builder", tone="caution", person=person.name)
        return None
    return person.name
