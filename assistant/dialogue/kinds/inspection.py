"""Inspection: a hold point; a second person, not the builder, must accept."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

from assistant.dialogue import disposing, people, steps
from assistant.dialogue.context import Context
from assistant.dialogue.effects import ASKED
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds.kind import KindDialogue
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import DialogueState
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Phrase
from assistant.procedure.kinds.inspection import InspectionStep


class Inspected(Fact):
    """A hold point was accepted or refused by a person other than the builder."""

    kind: Literal["inspected"] = "inspected"
    step: str
    person: str
    accepted: bool


@dataclass(frozen=True)
class Inspecting(DialogueState):
    """A second person is awaited at a hold point; ``person`` once they are named."""

    person: str | None = None


class InspectionDialogue(KindDialogue[InspectionStep], StateOwner[Inspecting]):
    """The inspector hears what so far is not as the procedure has it, and decides."""

    kind = "inspection"
    facts = (Inspected,)
    states = (Inspecting,)
    may_be_skipped = False

    def begin(self, turn: Turn, step: InspectionStep) -> None:
        """Say what is to be inspected, and ask who does."""
        turn.go(Inspecting())
        turn.show_text(step.say)
        turn.say("inspect_ask", tone="ask", criteria=step.criteria)
        people.say_longer_initials(turn)

    def may_be_said(self, context: Context, state: State, at: Inspecting) -> MayBeSaid:
        """Who inspects; the decision of the one who was named."""
        return MayBeSaid(
            ("accept", "refuse") if at.person else (),
            people.person_phrases(context, state),
            go_back=True,
            correct_earlier=True,
        )

    def answer(self, turn: Turn, at: Inspecting, said: Said) -> bool:
        """Name the inspector; carry out the decision."""
        match said.meaning:
            case Phrase(id=initials):
                person = people.name_of_another(turn, initials)
                if person is not None:
                    turn.go(replace(at, person=person))
                    _ask_decision(turn, person)
            case Command(id="accept" | "refuse" as word) if at.person is not None:
                inspected(turn, at.person, word == "accept")
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: Inspecting) -> None:
        """Ask who inspects, or the one who was named for the decision."""
        if at.person is None:
            criteria = turn.step_as(InspectionStep).criteria
            turn.say("inspect_ask", tone="ask", criteria=criteria)
            people.say_longer_initials(turn)
        else:
            _ask_decision(turn, at.person)

    def next_line(self, builder: StandIn, at: Inspecting) -> str:
        """The inspector names themselves, and accepts."""
        if at.person is not None:
            return builder.say("accept")
        phrases = people.person_phrases(builder.context, builder.state)
        return builder.pick(builder.answers.inspector, phrases)

    def not_offered(self, context: Context, state: State, at: Inspecting) -> tuple[str, ...]:
        """The builder, who may not decide."""
        return people.builders_initials(state)

    def rested(self, at: Inspecting) -> Inspecting:
        """Whoever was named may have left: they name themselves again."""
        return Inspecting()


def _ask_decision(turn: Turn, person: str) -> None:
    _say_exceptions(turn)
    _say_done(turn)
    turn.say("person_readback", tone="readback", about=ASKED, person=person)
    turn.ask("decision_ask")


def _say_exceptions(turn: Turn) -> None:
    """Say what so far is not as the procedure has it: values let stand, steps not done."""
    state = turn.state
    titles = {s.id: s.title for s in turn.context.procedure.steps}
    stand = [titles[s] for s, positions in state.released.items() if positions]
    skipped = [titles[s] for s, how in state.outcomes.items() if how == "skipped"]
    if not stand and not skipped:
        turn.say("exceptions_none", tone="readback", about=ASKED)
        return
    for key, named in (("exceptions_values", stand), ("exceptions_skipped", skipped)):
        if named:
            turn.say(key, tone="readback", about=ASKED, count=len(named), titles=", ".join(named))
            if named is stand:
                _say_reasons(turn)


def _say_done(turn: Turn) -> None:
    """How much of the work there is to accept."""
    state = turn.state
    done = sum(how == "done" for how in state.outcomes.values())
    readings = sum(len(values) for values in state.values.values())
    turn.say("summary_steps", count=done)
    if readings:
        turn.say("summary_readings", count=readings)


def _say_reasons(turn: Turn) -> None:
    """Why each of the values stands."""
    for step in turn.context.procedure.steps:
        for position in turn.state.released.get(step.id, ()):
            why = turn.state.let_stand[step.id][position]
            place = ", ".join(x for x in (step.title, position) if x)
            disposing.say_why(turn, "exception_reason", why, place=place)


def inspected(turn: Turn, person: str, accepted: bool) -> None:
    """The second person accepted or refused at the hold point."""
    turn.record(Inspected(step=turn.step.id, person=person, accepted=accepted))
    if accepted:
        turn.say_short("inspection_accepted", person=person)  # the name was said just before
        steps.complete(turn)
    else:
        turn.go(Inspecting())
        turn.say("inspection_refused", tone="caution", person=person)
