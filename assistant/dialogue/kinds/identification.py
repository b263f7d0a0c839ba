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
from assistant.dialogue.state import DialogueState, State
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Spelling
from assistant.procedure.form import fits
from assistant.procedure.kinds.identification import IdentificationStep


class Identified(Fact):
    kind: Literal["identified"] = "identified"
    step: str
    part: str
    what: str
    text: str


@dataclass(frozen=True)
class Spelled(DialogueState):
    """A number off a part is awaited, or read back when ``text`` is set."""

    text: str = ""


class IdentificationDialogue(KindDialogue[IdentificationStep], StateOwner[Spelled]):
    """A number counts once its readback is confirmed."""

    kind = "identification"
    facts = (Identified,)
    states = (Spelled,)

    def begin(self, turn: Turn, step: IdentificationStep) -> None:
        """Say which number to spell."""
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
    turn.record(Identified(step=step.id, part=step.part, what=step.what, text=text))
    steps.complete(turn)
