"""Choice: a branch on what is found; the option is read back."""

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
from assistant.dialogue.states import DialogueState
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Phrase
from assistant.procedure.kinds.choice import ChoiceStep


class Chosen(Fact):
    kind: Literal["chosen"] = "chosen"
    step: str
    option: str


@dataclass(frozen=True)
class Choosing(DialogueState):
    """An option is awaited, or read back when ``option`` is set."""

    option: str = ""


class ChoiceDialogue(KindDialogue[ChoiceStep], StateOwner[Choosing]):
    """An option counts once its readback is confirmed."""

    kind = "choice"
    facts = (Chosen,)
    states = (Choosing,)
    reads_phrases_back = True

    def begin(self, turn: Turn, step: ChoiceStep) -> None:
        """Say the options."""
        turn.go(Choosing())
        turn.say_text(step.say)
        options = turn.words("or").join(o.say for o in step.options)
        if all(o.say.lower() in step.say.lower() for o in step.options):
            turn.show("choice_ask", options=options)  # the question names them
        else:
            turn.say("choice_ask", tone="ask", options=options)

    def may_be_said(self, context: Context, state: State, at: Choosing) -> MayBeSaid:
        """One of the options; yes or no to the one read back."""
        return MayBeSaid(
            YES_NO if at.option else (),
            () if at.option else _phrases(context, state),
            go_back=True,
            skip=True,
            correct_earlier=True,
        )

    def answer(self, turn: Turn, at: Choosing, said: Said) -> bool:
        """Read it back; record it once it is confirmed."""
        match said.meaning:
            case Phrase(id=option) if not at.option:
                _hear(turn, option)
            case Command(id="confirm"):
                _chosen(turn, at.option)
            case Command(id="wrong"):
                steps.begin(turn)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: Choosing) -> None:
        """Ask for the option from the beginning."""
        steps.begin(turn)

    def next_line(self, builder: StandIn, at: Choosing) -> str:
        """The option that the answers have."""
        wanted = builder.given(builder.answers.choices)
        if at.option:
            return builder.agree(at.option == wanted)
        return builder.pick(wanted, _phrases(builder.context, builder.state))

    def rehearsed(self, context: Context, step: ChoiceStep, answers: Answers) -> Answers:
        """The first option."""
        return replace(answers, choices={**answers.choices, step.id: step.options[0].id})


def _phrases(context: Context, state: State) -> tuple[tuple[str, str], ...]:
    assert state.step is not None
    step = context.procedure.step(state.step)
    assert isinstance(step, ChoiceStep)
    return tuple((o.id, o.say) for o in step.options)


def _hear(turn: Turn, option: str) -> None:
    words = next(o.say for o in turn.step_as(ChoiceStep).options if o.id == option)
    turn.go(Choosing(option))
    turn.read_back("choice_readback", option=words)


def _chosen(turn: Turn, option: str) -> None:
    turn.record(Chosen(step=turn.step.id, option=option))
    turn.put(choices={**turn.state.choices, turn.step.id: option})
    steps.complete(turn)
