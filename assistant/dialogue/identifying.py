"""Numbers off parts, options of a choice, and people: heard, read back, confirmed."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import disposing
from assistant.dialogue.effects import ASKED
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
    turn.say("spelling_readback", tone="readback", about=ASKED, spoken=spell(turn, text))


def name_person(turn: Turn, moment: Release | Inspecting, initials: str) -> None:
    """A person was named: anyone but the builder may decide, and is read back by name."""
    person = next(p for p in turn.state.people if p.initials == initials)
    if person.role == "builder":
        turn.say("not_the_builder", tone="caution", person=person.name)
        return
    turn.go(replace(moment, person=person.name))
    ask_decision(turn)


def ask_decision(turn: Turn) -> None:
    """Tell the person who was named what is to be decided, and ask for the decision."""
    moment = turn.state.awaiting
    assert isinstance(moment, Release | Inspecting)
    if isinstance(moment, Release):
        disposing.say_to_be_released(turn, moment)
    else:
        _say_exceptions(turn)
    turn.say("person_readback", tone="readback", about=ASKED, person=moment.person or "")


def _say_exceptions(turn: Turn) -> None:
    """Say what so far is not as the procedure has it: values let stand, steps left open."""
    titles = {s.id: s.title for s in turn.context.procedure.steps}
    stand = [titles[s] for s, positions in turn.state.released.items() if positions]
    skipped = [titles[s] for s, how in turn.state.outcomes.items() if how == "skipped"]
    if not stand and not skipped:
        turn.say("exceptions_none", tone="readback", about=ASKED)
        return
    for key, named in (("exceptions_values", stand), ("exceptions_skipped", skipped)):
        if named:
            turn.say(key, tone="readback", about=ASKED, count=len(named), titles=", ".join(named))
