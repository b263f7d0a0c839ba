"""People at the bench who decide: named by their initials, and never the builder."""

from __future__ import annotations

from assistant.dialogue.context import Context
from assistant.dialogue.state import State
from assistant.dialogue.turn import Turn

_USUAL = 2  # initials


def person_phrases(context: Context, state: State) -> tuple[tuple[str, str], ...]:
    """(initials, spoken phrase) of everyone at the bench."""
    return tuple(
        (p.initials, context.language.prompt(
            "person_phrase", initials=context.language.say_spelling(p.initials)
        ))
        for p in state.people
    )  # fmt: skip


def builders_initials(state: State) -> tuple[str, ...]:
    """The initials of whoever builds."""
    return tuple(p.initials for p in state.people if p.role == "builder")


def name_of_another(turn: Turn, initials: str) -> str | None:
    """The name of the person called by ``initials``; None of the builder, who may not decide.

    Initials that the builder has too name the builder, whoever else has them; so does the
    builder's own name under another role.
    """
    called = [p for p in turn.state.people if p.initials == initials]
    builder = turn.state.builder
    if any(p.role == "builder" or _same(p.name, builder) for p in called):
        turn.say("not_the_builder", tone="caution", person=builder)
        return None
    return called[0].name


def _same(one: str, other: str) -> bool:
    return one.casefold().split() == other.casefold().split()


def say_longer_initials(turn: Turn) -> None:
    """How those are named whose two initials another has too."""
    phrases = dict(person_phrases(turn.context, turn.state))
    for person in turn.state.people:
        if person.role != "builder" and len(person.initials) > _USUAL:
            turn.say("initials_of", person=person.name, phrase=phrases[person.initials])
