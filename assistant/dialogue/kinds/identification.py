"""Identification: a number off a part, spelled aloud and read back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from assistant.dialogue import steps
from assistant.dialogue.commands import YES_NO
from assistant.dialogue.context import Context
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds.kind import KindDialogue
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import Answers, StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import Blocked, DialogueState
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Spelling
from assistant.procedure.form import fits
from assistant.procedure.kinds.identification import IdentificationStep


class Identified(Fact):
    """A number off a part was spelled, and confirmed after its readback."""

    kind: Literal["identified"] = "identified"
    step: str
    part: str
    what: str
    text: str


class NumbersDiffer(Fact):
    """A number that must be that of step ``same_as`` is another one; it does not count."""

    kind: Literal["numbers_differ"] = "numbers_differ"
    step: str
    part: str
    text: str
    same_as: str
    expected: str


@dataclass(frozen=True)
class Spelled(DialogueState):
    """A number off a part is awaited, or read back when ``text`` is set."""

    text: str = ""


class IdentificationDialogue(KindDialogue[IdentificationStep], StateOwner[Spelled]):
    """A number counts once its readback is confirmed."""

    kind = "identification"
    facts = (Identified, NumbersDiffer)
    states = (Spelled,)

    def begin(self, turn: Turn, step: IdentificationStep) -> None:
        """Say which number to spell."""
        if step.same_as is not None and step.same_as not in turn.state.identified:
            title = turn.context.procedure.step(step.same_as).title
            turn.go(Blocked())
            turn.say("numbers_no_other", tone="caution", title=title)
            return
        turn.go(Spelled())
        turn.say_text(step.say)
        turn.ask("spell_ask")

    def may_be_said(self, context: Context, state: State, at: Spelled) -> MayBeSaid:
        """Characters; yes or no to what was read back."""
        return MayBeSaid(
            YES_NO if at.text else (),
            spelling=not at.text,
            go_back=True,
            skip=True,
            correct_earlier=True,
        )

    def answer(self, turn: Turn, at: Spelled, said: Said) -> bool:
        """Read it back; record it once it is confirmed."""
        match said.meaning:
            case Spelling(text=text) if not at.text:
                hear_spelling(turn, text)
            case Command(id="confirm"):
                identified(turn, at.text)
            case Command(id="wrong"):
                steps.begin(turn)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: Spelled) -> None:
        """Ask for the number from the beginning."""
        steps.begin(turn)

    def next_line(self, builder: StandIn, at: Spelled) -> str:
        """The number on the part."""
        number = builder.given(builder.answers.numbers)
        return builder.agree(at.text == number) if at.text else builder.spell(number)

    def rehearsed(self, context: Context, step: IdentificationStep, answers: Answers) -> Answers:
        """Some number."""
        return replace(answers, numbers={**answers.numbers, step.id: "A1"})

    def for_rehearsal(self, step: IdentificationStep) -> IdentificationStep:
        """Any number will do."""
        return step.model_copy(update={"form": ""})


def hear_spelling(turn: Turn, text: str) -> None:
    """A number was spelled: check its form and read it back."""
    step = turn.step_as(IdentificationStep)
    spoken = turn.context.language.say_spelling(text)
    if step.form and not fits(step.form, text):
        turn.say("spelling_form", tone="ask", spoken=spoken)
        return
    turn.go(Spelled(text))
    turn.read_back("spelling_readback", spoken=spoken)


def identified(turn: Turn, text: str) -> None:
    """The spelled number was confirmed."""
    step = turn.step_as(IdentificationStep)
    if step.same_as is not None and turn.state.identified.get(step.same_as) != text:
        _differs(turn, step, step.same_as, text)
        return
    turn.record(Identified(step=step.id, part=step.part, what=step.what, text=text))
    turn.put(identified={**turn.state.identified, step.id: text})
    steps.complete(turn)


def _differs(turn: Turn, step: IdentificationStep, same_as: str, text: str) -> None:
    """The parts are not a pair: nothing counts, and both numbers are said."""
    expected = turn.state.identified.get(same_as, "")
    turn.record(
        NumbersDiffer(step=step.id, part=step.part, text=text, same_as=same_as, expected=expected)
    )
    say = turn.context.language.say_spelling
    title = turn.context.procedure.step(same_as).title
    turn.go(Spelled())
    turn.say(
        "numbers_differ", tone="caution", spoken=say(text), expected=say(expected), title=title
    )
