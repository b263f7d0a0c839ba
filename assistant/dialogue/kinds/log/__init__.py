"""Log: rows of values, each due at its time, read back and judged as a measurement is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal, assert_never

from assistant.dialogue import disposing, holding, steps, tooling
from assistant.dialogue.context import Context
from assistant.dialogue.edition import LOOKS_AGAIN, LOST_TIME_IS_NOT_COUNTED
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.kinds.log import rows
from assistant.dialogue.kinds.log.drifting import drifting
from assistant.dialogue.kinds.log.facts import LogBegunAgain, LogEnded, LogStarted, RowMissed
from assistant.dialogue.kinds.log.states import BetweenRows, LogOffered
from assistant.dialogue.kinds.log.taking import logged
from assistant.dialogue.kinds.measurement import correcting, measuring, readback, stand_in
from assistant.dialogue.kinds.measurement.judging import JudgedReadings
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import Answers, StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import OutOfLimit
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, NumberSpec
from assistant.procedure.kinds.log import LogStep
from assistant.procedure.kinds.log.model import SETTLED
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount
from assistant.quantities.propagation import Estimate
from assistant.quantities.tools import Need

_Own = LogOffered | BetweenRows


class LogDialogue(JudgedReadings[LogStep], StateOwner[_Own]):
    """The builder starts it; a timer asks for each row; its end is its time, or that it settled."""

    kind = "log"
    facts = (LogStarted, RowMissed, LogEnded, LogBegunAgain)
    states = (LogOffered, BetweenRows)
    wait_is_part_of_work = True

    def begin(self, turn: Turn, step: LogStep) -> None:
        """Say what is read how often, with what; continue a log that was begun."""
        if step.id in turn.state.logs:
            self._go_on(turn)
            return
        turn.say_text(step.say)
        for one in step.readings:
            turn.say("log_value", value=one.quantity)
            readback.say_gauge(turn, step.places[step.readings.index(one)])
        turn.go(LogOffered())
        self._ask_start(turn, step)

    def _ask_start(self, turn: Turn, step: LogStep) -> None:
        turn.say("log_ask", tone="ask", **rows.log_words(turn, step))

    def _go_on(self, turn: Turn) -> None:
        """Continue a log that was begun: its open row, or the next."""
        step = turn.step_as(LogStep)
        if self._row_counts(turn, step):
            rows.ring(turn, step)
            if rows.is_running(turn) or not disposing.still_held(turn):
                rows.catch_up(turn)
        else:
            measuring.ask_next(turn)

    def _row_counts(self, turn: Turn, step: LogStep) -> bool:
        run = rows.run_of(turn)
        return all(step.places[index] in run.counted for index in step.asked(run.row))

    def waits(self, step: LogStep) -> Amount:
        """From one row to the next."""
        return step.every

    def clock_lost(self, turn: Turn, step: LogStep) -> None:
        """The next row comes after a time that nobody knows."""
        run = turn.state.logs[step.id]
        if turn.state.edition >= LOST_TIME_IS_NOT_COUNTED:
            run = replace(run, untimed=(*run.untimed, len(run.due)))
            turn.put(logs={**turn.state.logs, step.id: run})

    def timer_elapsed(self, turn: Turn, step: LogStep) -> bool:
        """A row is due."""
        rows.ring(turn, step)
        rows.told_due(turn)
        return True

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """That it starts; between rows, that the next is read now, or the last one corrected."""
        match at:
            case LogOffered():
                return MayBeSaid(("done", "go_on"), go_back=True, skip=True, correct_earlier=True)
            case BetweenRows():
                return MayBeSaid(("go_on", "correction", "wrong"), go_back=True, skip=True)
            case _:
                assert_never(at)

    def only_waits(self, at: _Own) -> bool:
        """For the next row to be due."""
        return isinstance(at, BetweenRows)

    def answer(self, turn: Turn, at: _Own, said: Said) -> bool:
        """Start; read a row that is nearly due; correct the last one."""
        step = turn.step_as(LogStep)
        match at, said.meaning:
            case LogOffered(), Command(id="done" | "go_on"):
                rows.start(turn)
            case BetweenRows(), Command(id="go_on"):
                if rows.seconds_early(turn) > step.late_s:
                    rows.say_next(turn)
                else:
                    rows.make_due(turn, step)
                    rows.catch_up(turn)
            case BetweenRows(), Command(id="correction" | "wrong"):
                correcting.correct(turn)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: _Own) -> None:
        """Explain it again; or say when the next row is due, and ask for it where it is."""
        step = turn.step_as(LogStep)
        match at:
            case LogOffered():
                self._ask_start(turn, step)
            case BetweenRows():
                rows.ring(turn, step)
                rows.catch_up(turn)
            case _:
                assert_never(at)

    def resumed(self, turn: Turn, at: _Own) -> None:
        """Look at the gauges first."""
        if not tooling.blocked(turn):
            self.ask_again(turn, at)

    def next_line(self, builder: StandIn, at: _Own) -> str | None:
        """Start; then wait for the row."""
        return builder.say("go_on") if isinstance(at, LogOffered) else None

    def obstacle(self, turn: Turn, step: LogStep) -> str | None:
        """The gauges in hand; for guarded limits their uncertainty must be known."""
        procedure, looked_at = turn.context.procedure, set[str]()
        for one in step.readings:
            value = step.value(one)
            if one.gauge not in looked_at:
                looked_at.add(one.gauge)
                need = Need.of_limits(procedure.gauge(one.gauge).kind, value.limits)
                why = tooling.checked(turn, one.gauge, need)
                if why is not None:
                    return why
            gauge = gauge_in_hand(procedure, turn.state, one.gauge)
            if one.rule == "guarded" and not value.limits.none and gauge.uncertainty is None:
                return turn.words("guard_unknown", name=gauge.name)
        return None

    def goes_on(self, turn: Turn, step: LogStep) -> bool:
        """The row counts; the next row follows, or the log is over."""
        return rows.row_read(turn)

    def taken_back(
        self, turn: Turn, step: LogStep, why: Literal["reopened", "adjusted"] = "reopened"
    ) -> None:
        """The readings no longer count, and the timer does not run on."""
        super().taken_back(turn, step, why)
        rows.drop(turn, step)

    def say_value_at(self, turn: Turn, step: LogStep, position: str) -> None:
        """Read back the value at a place, or that nothing settled."""
        if position == SETTLED:
            rows.say_unsettled(turn, step)
        else:
            super().say_value_at(turn, step, position)

    def reading_when_out(self, context: Context, state: State, step: LogStep) -> NumberSpec | None:
        """A reading; none in place of not having settled."""
        at = state.awaiting
        settling = isinstance(at, OutOfLimit) and step.places[at.index] == SETTLED
        if settling or step.id not in state.logs:
            return None
        return super().reading_when_out(context, state, step)

    def answer_out(self, turn: Turn, step: LogStep, at: OutOfLimit, said: Said) -> bool:
        """Another reading; what has not settled, or is not running, is logged again."""
        if step.places[at.index] != SETTLED and step.id in turn.state.logs:
            return super().answer_out(turn, step, at, said)
        if said.meaning not in (Command("correction"), Command("wrong"), Command("remeasure")):
            return False
        rows.begin_again(turn)
        return True

    def part_changed(self, turn: Turn, step: LogStep, index: int) -> None:
        """Readings of the part as it was are of no use: the log begins again."""
        rows.begin_again(turn)

    def value_stands(self, turn: Turn, step: LogStep) -> None:
        """On to the next value; or to the end, where what did not settle was let stand.

        A value of a log that was taken back stands, but the log is still to be run.
        """
        if step.id not in turn.state.logs:
            turn.go(LogOffered())
            self._ask_start(turn, step)
        elif SETTLED not in turn.state.released.get(step.id, ()):
            super().value_stands(turn, step)
        elif SETTLED not in rows.run_of(turn).counted and turn.state.edition >= LOOKS_AGAIN:
            # what did not settle was a run before this one, which is still under way
            if self._row_counts(turn, step) and step.id in turn.state.waits:
                self._go_on(turn)
            else:
                super().value_stands(turn, step)
        else:
            rows.record_end(turn, "not_settled")
            steps.complete(turn)

    def as_meant(self, builder: StandIn, step: LogStep, index: int) -> bool:
        """Whether a reading was heard as it was meant; a change is computed."""
        return step.places[index] == SETTLED or super().as_meant(builder, step, index)

    def say_limit(self, turn: Turn, step: LogStep) -> None:
        """The limits of every value."""
        for one in step.readings:
            value = step.value(one)
            turn.say("limit", quantity=one.quantity, limits=readback.say_limits(turn, value))

    def rehearsed(self, context: Context, step: LogStep, answers: Answers) -> Answers:
        """Values that rise and settle, row by row."""
        rows = zip(*(drifting(context.procedure, step, one) for one in step.readings), strict=True)
        values = [stand_in.said(context, value) for row in rows for value in row]
        read = dict(zip(step.places, values, strict=False))  # having settled is not read
        return replace(answers, readings={**answers.readings, step.id: read})

    def estimate(
        self,
        procedure: Procedure,
        state: State,
        step: LogStep,
        combine: str,
        places: Sequence[str],
    ) -> Estimate | None:
        """One value of the log once it is done, as ``places`` name it."""
        return logged(state, step, places)

    def say_standing(self, turn: Turn, step: LogStep) -> None:
        """Read back what does not count yet; nothing before the log has begun."""
        if step.id not in turn.state.logs:
            return
        super().say_standing(turn, step)
        if SETTLED in holding.unanswered(turn.state, step.id):
            rows.say_unsettled(turn, step)
