"""Action: place, orient, lubricate, seal; the builder says when it is done.

Some actions are confirmed part by part, and some must be done within a time, which runs from when
the builder says that it starts.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta
from typing import ClassVar, Literal, assert_never

from assistant.dialogue import steps, waiting
from assistant.dialogue.context import Context
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds.kind import KindDialogue
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import DialogueState, Doing
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command
from assistant.procedure.kinds.action import ActionStep
from assistant.quantities.amount import Amount


class PartDone(Fact):
    """One of several parts was confirmed."""

    kind: Literal["part_done"] = "part_done"
    step: str
    name: str


class PartReopened(Fact):
    """A part that was confirmed was not done after all."""

    takes_back: ClassVar[bool] = True
    kind: Literal["part_reopened"] = "part_reopened"
    step: str
    name: str


class TimedWork(Fact):
    """Work with a longest time: what was allowed, and how long it took."""

    kind: Literal["timed_work"] = "timed_work"
    step: str
    allowed: Amount
    took_s: int
    over_s: int
    known: bool = True  # False: the clock was lost meanwhile, and nobody knows how long it took


@dataclass(frozen=True)
class ReadyForClock(DialogueState):
    """Work with a longest time was explained; the builder says when it starts."""


@dataclass(frozen=True)
class DoingParts(DialogueState):
    """Part ``index`` of several is being done, or all of it against the clock."""

    index: int


_Own = ReadyForClock | DoingParts


class ActionDialogue(KindDialogue[ActionStep], StateOwner[_Own]):
    """What to do, how it faces, with what, and what it should feel like."""

    kind = "action"
    facts = (PartDone, PartReopened, TimedWork)
    states = (ReadyForClock, DoingParts)
    going_back_loses_nothing = True
    wait_is_part_of_work = True
    wait_is_a_limit = True

    def begin(self, turn: Turn, step: ActionStep) -> None:
        """Say all of it, and await that it is done."""
        turn.go(Doing())
        turn.say_text(step.say)
        if step.orientation:
            turn.say_short("orientation", text=step.orientation)
        if step.materials:
            names = {c.id: c.name for c in turn.context.procedure.consumables}
            turn.say("materials", names=", ".join(names[m] for m in step.materials))
        if step.expect:
            turn.say("expect", text=step.expect)
        if step.within is not None:
            turn.go(ReadyForClock())
            self.ask_again(turn, ReadyForClock())
        elif step.each:
            turn.go(DoingParts(0))
            self.ask_again(turn, DoingParts(0))
        else:
            turn.ask("say_done", tone="plain")

    def waits(self, step: ActionStep) -> Amount | None:
        """The longest time that it may take."""
        return step.within

    def timer_elapsed(self, turn: Turn, step: ActionStep) -> bool:
        """The time is up; the work is still to be finished."""
        turn.say("timed_up", tone="caution", title=step.title)
        return True

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """That it starts; that it is done, or was not."""
        own = ("done", "go_on") if isinstance(at, ReadyForClock) else ("done", "go_on", "wrong")
        return MayBeSaid(
            own, go_back=True, skip=True, correct_earlier=isinstance(at, ReadyForClock)
        )

    def answer(self, turn: Turn, at: _Own, said: Said) -> bool:
        """Start; the next part, or the one before it again; the end."""
        step = turn.step_as(ActionStep)
        match at, said.meaning:
            case ReadyForClock(), Command(id="done" | "go_on"):
                waiting.start(turn, step)
                turn.say("timed_runs")
                turn.go(DoingParts(0))
                self.ask_again(turn, DoingParts(0))
            case DoingParts(index=index), Command(id="done" | "go_on"):
                self._done(turn, step, index)
            case DoingParts(index=index), Command(id="wrong") if step.each:
                self._not_done(turn, step, index)
            case _:
                return False
        return True

    def _not_done(self, turn: Turn, step: ActionStep, index: int) -> None:
        """Back to the part before, which counts as done no longer."""
        if index > 0:
            turn.record(PartReopened(step=step.id, name=step.each[index - 1]))
        turn.go(DoingParts(max(0, index - 1)))
        self.ask_again(turn, DoingParts(max(0, index - 1)))

    def _done(self, turn: Turn, step: ActionStep, index: int) -> None:
        if step.each:
            turn.record(PartDone(step=step.id, name=step.each[index]))
        if index + 1 < len(step.each):
            turn.go(DoingParts(index + 1))
            self.ask_again(turn, DoingParts(index + 1))
            return
        if step.within is not None:
            _stop_clock(turn, step, step.within)
        steps.complete(turn)

    def ask_again(self, turn: Turn, at: _Own) -> None:
        """Say how long it may take; or which part is to be done."""
        step = turn.step_as(ActionStep)
        match at:
            case ReadyForClock():
                assert step.within is not None
                allowed = turn.context.language.say_amount(step.within)
                turn.say("timed_ask", tone="ask", allowed=allowed)
            case DoingParts(index=index) if step.each:
                turn.say("each_part", tone="ask", name=step.each[index])
            case DoingParts():
                turn.ask("say_done", tone="plain")
            case _:
                assert_never(at)

    def next_line(self, builder: StandIn, at: _Own) -> str:
        """Go on."""
        return builder.say("go_on")

    def taken_back(
        self, turn: Turn, step: ActionStep, why: Literal["reopened", "adjusted"] = "reopened"
    ) -> None:
        """Its time does not run on."""
        if step.within is not None:
            waiting.over(turn, step.id)


def _stop_clock(turn: Turn, step: ActionStep, within: Amount) -> None:
    """Record how long it took, and say so where that was too long or nobody knows."""
    allowed = timedelta(microseconds=int(within.to("s").value * 1_000_000))
    if step.id not in turn.state.waits or (left := waiting.left(turn, step.id)) > allowed:
        waiting.over(turn, step.id)
        turn.record(TimedWork(step=step.id, allowed=within, took_s=0, over_s=0, known=False))
        turn.say("timed_not_known", tone="caution")
        return
    took = allowed - left
    over = max(timedelta(), took - allowed)
    took_s, over_s = -(-took // timedelta(seconds=1)), -(-over // timedelta(seconds=1))
    turn.record(TimedWork(step=step.id, allowed=within, took_s=took_s, over_s=over_s))
    waiting.over(turn, step.id)
    if over_s:
        turn.say("timed_over", tone="caution", count=over_s)
    else:
        turn.say("timed_within", count=took_s)
