"""Resuming a job: how far it is, what waits, what has changed meanwhile."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue import steps, waiting
from assistant.dialogue.anytime import set_voice_again
from assistant.dialogue.commands import YES_NO
from assistant.dialogue.context import Context
from assistant.dialogue.edition import WAITS_END_AT_RESUME
from assistant.dialogue.effects import EndSession
from assistant.dialogue.events import Resumed, Revised
from assistant.dialogue.keeping import say_age
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner, owner_of
from assistant.dialogue.repeating import say_standing
from assistant.dialogue.revising import noticed, say_revised
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import (
    Acknowledge,
    ClockAsked,
    Ended,
    RevisionHeard,
    Waiting,
    underlying,
)
from assistant.dialogue.steps import number_of, total
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command
from assistant.procedure.kinds import kind_of as procedure_kind
from assistant.procedure.step import Step


def resume(turn: Turn, event: Resumed) -> None:
    """Say how far the job is; a revised procedure must be acknowledged before work continues."""
    turn.put(stopped=False, listening=True, broken=frozenset(), kept=None)
    turn.put(local=event.local or turn.state.local)
    set_voice_again(turn)
    if isinstance(turn.state.awaiting, Ended):
        turn.say("already_finished")
        turn.effects.append(EndSession("finished"))
        return
    at = underlying(turn.state.awaiting)
    at = owner_of(at).rested(at)
    turn.go(at)
    if event.bench is not None:
        turn.put(bench=event.bench)
        owner_of(at).other_bench(turn, at)
    same_run = event.boot == turn.state.boot
    waiting.resumed(turn, event.boot)
    # Sessions stored before the machine's run was named went on by the wall clock, unasked.
    doubted = event.boot and not same_run and waiting.hard_to_believe(turn) is not None
    _greet(turn)
    _say_cautions(turn)
    if doubted:
        turn.go(ClockAsked(event.revised, turn.state.awaiting))
        ask_clock(turn)
        return
    _resume_waits(turn)
    _tell_revised(turn, event.revised)


def clock_answered(turn: Turn, at: ClockAsked, right: bool) -> None:
    """The builder knows whether the wall clock is right: the waits follow it, or start again.

    Of work with a longest time nobody knows then how long it has taken: that is said and recorded.
    """
    turn.go(at.back)
    if right:
        _resume_waits(turn)
    else:
        lost = waiting.start_again(turn)
        for waits in map(turn.context.procedure.step, tuple(turn.state.waits)):
            kind_of(waits).clock_lost(turn, waits)
        if turn.state.waits:
            turn.say("clock_wrong", tone="caution")
        for step in lost:
            title = turn.context.procedure.step(step).title
            turn.say("timed_lost", tone="caution", title=title)
        _say_running(turn)
    _tell_revised(turn, at.revised)


def _greet(turn: Turn) -> None:
    """Where the work was left: the step, and in a tightening the fastener done last."""
    turn.say("resumed")
    if turn.state.step is None:
        turn.say("where_no_step", job=turn.state.job)
        return
    step, done = turn.step, turn.state.tightened
    turn.say("resumed_at", job=turn.state.job, number=number_of(turn, step), total=total(turn),
             title=step.title)  # fmt: skip
    if done:
        now = [t for t in done if t.pass_index == done[-1].pass_index]
        turn.say("resumed_last", label=now[-1].fastener, count=len(now))
    awaiting = turn.state.awaiting
    owner_of(awaiting).say_place(turn, awaiting)


def _say_cautions(turn: Turn) -> None:
    """Say again what was warned of for the whole job, and for the work that goes on.

    A lock may have come off in the break, and what was heard weeks ago is forgotten.
    """
    standing: list[Step] = []
    for step in map(turn.context.procedure.step, turn.state.history):
        if procedure_kind(step).machine_runs:
            standing = []  # what held before it was started may be wrong now
        elif procedure_kind(step).is_caution and turn.state.outcomes.get(step.id) == "done":
            standing.append(step)
    texts = [text for step in standing for text in steps.cautions_of(step)]
    for text in (*texts, *_acknowledged(turn)):
        turn.say("caution_before", tone="caution", text=text)


def _acknowledged(turn: Turn) -> tuple[str, ...]:
    """The cautions of the open step that were acknowledged: they come before its work."""
    if turn.state.step is None:
        return ()
    at, texts = turn.state.awaiting, steps.cautions_of(turn.step)
    return texts[: at.index] if isinstance(at, Acknowledge) else texts


def _resume_waits(turn: Turn) -> None:
    """Say which waits ran out meanwhile and which still run; have those ring when they are over."""
    if turn.state.edition >= WAITS_END_AT_RESUME:
        steps.end_waits(turn)
    waiting.set_timers(turn)
    _say_running(turn)


def _say_running(turn: Turn) -> None:
    if isinstance(turn.state.awaiting, Waiting):
        return  # what is waited for is said when the work goes on, and nothing else is
    running = waiting.say_waits(turn, running=True)
    if running:
        turn.say("left_waits", waits=running)


def _tell_revised(turn: Turn, revised: Revised | None) -> None:
    if revised is not None and revised.sha256 != turn.state.revision_noticed:
        turn.go(RevisionHeard(revised, turn.state.awaiting))
        say_revised(turn, revised)
        return
    _go_on(turn)


def acknowledge(turn: Turn, at: RevisionHeard) -> None:
    """The builder knows of the revision: that is recorded, and the work goes on."""
    turn.record(noticed(turn, at.revised))
    turn.put(revision_noticed=at.revised.sha256)
    turn.go(at.back)
    _go_on(turn)


def _go_on(turn: Turn) -> None:
    say_standing(turn)
    awaiting = turn.state.awaiting
    owner_of(awaiting).resumed(turn, awaiting)


def ask_clock(turn: Turn) -> None:
    """Ask whether the wall clock is right, by what it says of a wait."""
    step = waiting.hard_to_believe(turn) or next(iter(turn.state.waits))
    turn.say(
        "clock_ask_work" if waiting.is_longest(turn, step) else "clock_ask",
        tone="ask",
        title=turn.context.procedure.step(step).title,
        age=say_age(turn, waiting.began_s(turn, step)),
    )


class Resuming(StateOwner[ClockAsked | RevisionHeard]):
    """What the builder is asked before the work goes on after a rest."""

    states = (ClockAsked, RevisionHeard)

    def may_be_said(
        self, context: Context, state: State, at: ClockAsked | RevisionHeard
    ) -> MayBeSaid:
        """Whether the clock is right; that the revision was noticed."""
        return MayBeSaid(YES_NO if isinstance(at, ClockAsked) else ("understood",))

    def answer(self, turn: Turn, at: ClockAsked | RevisionHeard, said: Said) -> bool:
        """Set the waits by the answer; record that the revision was noticed."""
        match at, said.meaning:
            case ClockAsked(), Command(id="confirm" | "wrong" as word):
                clock_answered(turn, at, right=word == "confirm")
            case RevisionHeard(), Command(id="understood"):
                acknowledge(turn, at)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: ClockAsked | RevisionHeard) -> None:
        """Ask about the clock, or say what was revised."""
        match at:
            case ClockAsked():
                ask_clock(turn)
            case RevisionHeard(revised=revised):
                say_revised(turn, revised)
            case _:
                assert_never(at)

    def next_line(self, builder: StandIn, at: ClockAsked | RevisionHeard) -> str:
        """The clock is right, and the revision was noticed."""
        return builder.say("confirm" if isinstance(at, ClockAsked) else "understood")
