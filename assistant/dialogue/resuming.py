"""Taking a job up again: where it stands, what waits, what has changed meanwhile."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import steps, tightening, tooling
from assistant.dialogue.anytime import set_voice_again, where_am_i
from assistant.dialogue.effects import EndSession, StartTimer
from assistant.dialogue.events import Resumed
from assistant.dialogue.repeating import ask_again, say_standing
from assistant.dialogue.revising import noticed, say_revised
from assistant.dialogue.state import (
    Blocked,
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
    if isinstance(turn.state.moment, Ended):
        turn.say("already_finished")
        turn.effects.append(EndSession("finished"))
        return
    while isinstance(turn.state.moment, Stopping | Noting | Skipping | GoingBack | RevisionHeard):
        turn.go(turn.state.moment.back)
    if isinstance(turn.state.moment, Release | Inspecting):
        # whoever was named may have left: they name themselves again
        turn.go(replace(turn.state.moment, person=None))
    if event.bench is not None:
        turn.put(bench=event.bench)
        if isinstance(turn.state.moment, Tightening | TorqueAcknowledge):
            tightening.other_bench(turn)
    for step, until in turn.state.waits.items():
        turn.effects.append(StartTimer(step, until))
    turn.say("resumed")
    where_am_i(turn)
    if turn.state.waits:
        turn.say("left_waits", waits=steps.say_waits(turn))
    revised = event.revised
    if revised is not None and revised.sha256 != turn.state.revision_noticed:
        turn.go(RevisionHeard(revised, turn.state.moment))
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
    if isinstance(turn.state.moment, Blocked):
        steps.begin(turn)  # what blocked the step may have been put right meanwhile
        return
    reading = isinstance(turn.state.moment, _READ_WITH_TOOL) and turn.state.step is not None
    if reading and isinstance(turn.step, MeasurementStep) and tooling.blocked_meanwhile(turn):
        return
    if not isinstance(turn.state.moment, _WITH_TOOL):
        turn.put(announced=None)  # whatever comes to be tightened, its wrench is looked at first
    elif tooling.blocked(turn):
        return  # another bench, or its calibration has run out meanwhile
    moment = turn.state.moment
    if isinstance(moment, Tightening | TorqueAcknowledge) and tightening.set_otherwise(turn):
        tightening.announce(turn)
        return
    ask_again(turn)
