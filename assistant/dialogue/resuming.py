"""Taking a job up again: where it stands, what waits, what has changed meanwhile."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import steps, tightening
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
    Measuring,
    Noting,
    Release,
    RevisionHeard,
    Skipping,
    Stopping,
    Tightening,
    TorqueAcknowledge,
)
from assistant.dialogue.turn import Turn
from assistant.quantities.amount import Amount
from assistant.quantities.tools import Bench
from assistant.quantities.wrench import TighteningError

_WITH_TOOL = (Measuring, DigitCheck, TorqueAcknowledge, Tightening)  # the tool is yet to be used


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
        _take_bench(turn, event.bench)
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


def _take_bench(turn: Turn, bench: Bench) -> None:
    """Another bench: a pass that its wrench is set otherwise for begins anew, announced again."""
    moment = turn.state.moment
    before = _set_to(turn)
    turn.put(bench=bench)
    after = _set_to(turn)
    if not isinstance(moment, Tightening | TorqueAcknowledge) or after == before:
        return
    if after is None:
        turn.go(Blocked())
    else:
        tightening.await_acknowledgement(turn, moment.pass_index)


def _set_to(turn: Turn) -> Amount | None:
    moment = turn.state.moment
    if not isinstance(moment, Tightening | TorqueAcknowledge):
        return None
    step = tightening.tightening(turn)
    try:
        return tightening.pass_torque(step, tightening.wrench(turn), moment.pass_index)
    except TighteningError:
        return None  # the wrench cannot give it, which blocks the step


def acknowledge(turn: Turn, moment: RevisionHeard) -> None:
    """The builder knows of the revision: that is recorded, and the work goes on."""
    turn.record(noticed(turn, moment.revised))
    turn.put(revision_noticed=moment.revised.sha256)
    turn.go(moment.back)
    _go_on(turn)


def _go_on(turn: Turn) -> None:
    if isinstance(turn.state.moment, Blocked):
        steps.begin(turn)  # what blocked the step may have been put right meanwhile
        return
    say_standing(turn)
    if isinstance(turn.state.moment, _WITH_TOOL) and steps.blocked_by_tool(turn):
        return  # another bench, or its calibration has run out meanwhile
    ask_again(turn)
