"""Taking a job up again: where it stands, what waits, what has changed meanwhile."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import steps, tightening, tooling, waiting
from assistant.dialogue.anytime import set_voice_again, where_am_i
from assistant.dialogue.effects import EndSession
from assistant.dialogue.events import Resumed, Revised
from assistant.dialogue.repeating import ask_again, ask_clock, say_standing
from assistant.dialogue.revising import noticed, say_revised
from assistant.dialogue.state import (
    Blocked,
    ClockAsked,
    DigitCheck,
    Ended,
    GoingBack,
    Inspecting,
    Loosening,
    Measuring,
    Noting,
    OutOfLimit,
    Release,
    Review,
    RevisionHeard,
    Skipping,
    Stopping,
    Tightening,
    TorqueAcknowledge,
)
from assistant.dialogue.turn import Turn
from assistant.procedure.models import MeasurementStep

# the tool is yet to be used
_WITH_TOOL = (Measuring, DigitCheck, Loosening, TorqueAcknowledge, Tightening)
_READ_WITH_TOOL = (Review, OutOfLimit)  # of a reading: it is not gone on with by a tool run out


def resume(turn: Turn, event: Resumed) -> None:
    """Say where the job stands; a revised procedure is to be acknowledged before work goes on."""
    turn.put(stopped=False, listening=True, broken=frozenset(), kept=None)
    set_voice_again(turn)
    if isinstance(turn.state.awaiting, Ended):
        turn.say("already_finished")
        turn.effects.append(EndSession("finished"))
        return
    while isinstance(
        turn.state.awaiting, Stopping | Noting | Skipping | GoingBack | ClockAsked | RevisionHeard
    ):
        turn.go(turn.state.awaiting.back)
    if isinstance(turn.state.awaiting, Release | Inspecting):
        # whoever was named may have left: they name themselves again
        turn.go(replace(turn.state.awaiting, person=None))
    if event.bench is not None:
        turn.put(bench=event.bench)
        if isinstance(turn.state.awaiting, Tightening | TorqueAcknowledge):
            tightening.other_bench(turn)
    same_run = event.boot == turn.state.boot
    waiting.taken_up(turn, event.boot)
    # Sessions stored before the machine's run was named went on by the wall clock, unasked.
    doubted = event.boot and not same_run and waiting.hard_to_believe(turn) is not None
    if not doubted:
        waiting.set_timers(turn)
    turn.say("resumed")
    where_am_i(turn)
    if doubted:
        turn.go(ClockAsked(event.revised, turn.state.awaiting))
        ask_clock(turn)
        return
    if turn.state.waits:
        turn.say("left_waits", waits=waiting.say_waits(turn))
    _tell_revised(turn, event.revised)


def clock_answered(turn: Turn, moment: ClockAsked, right: bool) -> None:
    """The builder knows whether the wall clock is right: the waits go by it, or start again."""
    turn.go(moment.back)
    if right:
        waiting.set_timers(turn)
    else:
        waiting.start_again(turn)
        turn.say("clock_wrong", tone="caution")
    turn.say("left_waits", waits=waiting.say_waits(turn))
    _tell_revised(turn, moment.revised)


def _tell_revised(turn: Turn, revised: Revised | None) -> None:
    if revised is not None and revised.sha256 != turn.state.revision_noticed:
        turn.go(RevisionHeard(revised, turn.state.awaiting))
        say_revised(turn, revised)
        return
    _go_on(turn)


def acknowledge(turn: Turn, moment: RevisionHeard) -> None:
    """The builder knows of the revision: that is recorded, and the work goes on."""
    turn.record(noticed(turn, moment.revised))
    turn.put(revision_noticed=moment.revised.sha256)
    turn.go(moment.back)
    _go_on(turn)


def _go_on(turn: Turn) -> None:
    say_standing(turn)
    if isinstance(turn.state.awaiting, Blocked):
        steps.begin(turn)  # what blocked the step may have been put right meanwhile
        return
    reading = isinstance(turn.state.awaiting, _READ_WITH_TOOL) and turn.state.step is not None
    if reading and isinstance(turn.step, MeasurementStep) and tooling.blocked_meanwhile(turn):
        return
    if not isinstance(turn.state.awaiting, _WITH_TOOL):
        turn.put(announced=None)  # whatever comes to be tightened, its wrench is looked at first
    elif tooling.blocked(turn):
        return  # another bench, or its calibration has run out meanwhile
    moment = turn.state.awaiting
    if isinstance(moment, Tightening | TorqueAcknowledge) and tightening.set_otherwise(turn):
        tightening.announce(turn)
        return
    ask_again(turn)
