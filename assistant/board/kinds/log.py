"""Logs on the board: the row being read, and when the next is due."""

from __future__ import annotations

from assistant.board.figures import indication_text, limit_lines, number
from assistant.board.kinds.judged import Held
from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.kinds.measurement import ReadingBoard
from assistant.board.view import BoardRow, Figure, Limit, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds.log.facts import LogEnded, LogStarted, RowMissed
from assistant.dialogue.kinds.log.states import BetweenRows, LogOffered
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.states import DialogueState, OutOfLimit, Review
from assistant.procedure.kinds.log import LogStep
from assistant.procedure.kinds.log.model import SETTLED, LoggedRead
from assistant.quantities.symbols import symbol


class _LoggedBoard(ReadingBoard[LoggedRead]):
    """One value of a log as a reading."""

    kind = "log"


_READING = _LoggedBoard()


class LogBoard(KindBoard[LogStep]):
    """Each row as a measurement; between the rows, that the next is waited for."""

    kind = "log"

    def scene(self, at: Glance, step: LogStep, awaiting: DialogueState) -> Scene:
        """The reading that is awaited; else how often what is read."""
        words = at.words
        if isinstance(awaiting, Measuring | DigitCheck | Held):
            if step.places[awaiting.index] == SETTLED:
                return _unsettled(at, step, awaiting)
            return _READING.scene(at, step.at(step.places[awaiting.index]), awaiting)
        if isinstance(awaiting, Review):
            return Scene(words("task_review"))
        if not isinstance(awaiting, LogOffered | BetweenRows):
            return at.nothing_special
        task = words("task_log" if isinstance(awaiting, LogOffered) else "task_between_rows")
        figure = Figure(words("figure_log_every"), number(step.every), symbol(step.every.unit))
        lines = [Line("", step.say)]
        if step.stop:
            lines.append(Line(words("line_stop"), step.stop))
        return Scene(task, lines=tuple(lines), figure=figure)

    def limits(self, at: Glance, step: LogStep) -> tuple[Limit, ...]:
        """Those of the value that is awaited, or of the only one."""
        awaiting, which = at.state.awaiting, 0
        if isinstance(awaiting, Measuring | DigitCheck | Held):
            which = awaiting.index % len(step.readings)
        elif len(step.readings) > 1:
            return ()
        return limit_lines(step.value(step.readings[which]).limits, at.words)

    def rows(self, at: Glance, step: LogStep, awaiting: DialogueState) -> tuple[BoardRow, ...]:
        """The values of the open row; a single one is shown as the figure."""
        run = at.state.logs.get(step.id)
        if run is None or len(step.readings) == 1:
            return ()
        now = awaiting.index if isinstance(awaiting, Measuring | DigitCheck | Held) else None
        return tuple(_row(at, step, index, index == now) for index in step.asked(run.row))

    def names_on_show(self, awaiting: DialogueState) -> bool:
        """The values stand in the rows."""
        return isinstance(awaiting, Measuring | Review)

    def idle(self, at: Glance, step: LogStep, awaiting: DialogueState) -> frozenset[str]:
        """With nothing read yet there is nothing to take back."""
        if isinstance(awaiting, Measuring | DigitCheck | Held | Review | BetweenRows):
            return frozenset()
        return super().idle(at, step, awaiting)

    def recorded(self, fact: Fact, words: BoardWords) -> str:
        """That it began, missed a row, or ended."""
        if isinstance(fact, LogStarted):
            return words("record_log_started")
        if isinstance(fact, RowMissed):
            return words("record_row_missed")
        if isinstance(fact, LogEnded):
            return words("record_log", how=words("log_" + fact.how))
        return ""


def _unsettled(at: Glance, step: LogStep, held: DialogueState) -> Scene:
    value = at.state.held.get(step.id, {}).get(SETTLED)
    figure = None
    if value is not None:
        text, sign = indication_text(value.indication, value.indication.amount.unit, at.words)
        figure = Figure(at.words("log_not_settled"), text, sign)
    task = at.words("task_out" if isinstance(held, OutOfLimit) else "band_release")
    return Scene(task, "out", at.words("band_out"), (), figure)


def _row(at: Glance, step: LogStep, index: int, current: bool) -> BoardRow:
    name = step.readings[index % len(step.readings)].quantity
    value = at.state.values.get(step.id, {}).get(step.places[index])
    if value is None:
        return BoardRow(name, "", "", "", current)
    text, sign = indication_text(value.indication, value.indication.amount.unit, at.words)
    released = step.places[index] in at.state.released.get(step.id, ())
    verdict = value.judgement.verdict
    mark = "released" if released and verdict != "in" else verdict
    return BoardRow(name, f"{text} {sign}".strip(), mark, at.words("verdict_" + mark), current)
