"""Numbers off parts, options of a choice, and people: heard, read back, confirmed."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue.opening import spell
from assistant.dialogue.state import Inspecting, Release, Spelled
from assistant.dialogue.turn import Turn
from assistant.procedure.form import fits
from assistant.procedure.models import ChoiceStep, IdentificationStep


def option_words(turn: Turn, option: str) -> str:
    """The spoken words of an option of the open choice."""
    step = turn.step
    assert isinstance(step, ChoiceStep)
    return next(o.say for o in step.options if o.id == option)


def hear_spelling(turn: Turn, text: str) -> None:
    """A number was spelled: check its form and read it back."""
    step = turn.step
    assert isinstance(step, IdentificationStep)
    if step.form and not fits(step.form, text):
        turn.say("spelling_form", tone="ask", spoken=spell(turn, text))
        return
    turn.go(Spelled(text))
    turn.say("spelling_readback", tone="readback", spoken=spell(turn, text))


def name_person(turn: Turn, moment: Release | Inspecting, initials: str) -> None:
    """A person was named: anyone but the builder may decide, and is read back by name."""
    person = next(p for p in turn.state.people if p.initials == initials)
    if person.role == "builder":
        turn.say("not_the_builder", tone="caution", person=person.name)
        return
    turn.go(replace(moment, person=person.name))
    turn.say("person_readback", tone="readback", person=person.name)
