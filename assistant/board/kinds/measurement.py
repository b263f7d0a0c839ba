"""Measurements on the board."""

from __future__ import annotations

from typing import TypeVar

from assistant.board.figures import indication_text, limit_lines
from assistant.board.kinds.judged import Held, JudgedBoard
from assistant.board.kinds.kind import Glance
from assistant.board.plain import short
from assistant.board.view import BoardRow, Figure, Limit, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.facts import Fact
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingSuperseded
from assistant.dialogue.kinds.measurement.limits_now import with_limits
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.states import DialogueState, Review
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.step import GaugedStep
from assistant.quantities.symbols import symbol
from assistant.shown_text import id_in_words, place_alone

G = TypeVar("G", bound=GaugedStep)


class ReadingBoard(JudgedBoard[G]):
    """A reading at each position, in the unit of the gauge in hand."""

    def scene(self, at: Glance, step: G, awaiting: DialogueState) -> Scene:
        """The reading that is awaited or not certain yet; else the findings."""
        if isinstance(awaiting, Measuring):
            return self._asked(at, step, awaiting)
        if isinstance(awaiting, DigitCheck):
            return self._doubted(at, step, awaiting)
        return super().scene(at, step, awaiting)

    def limits(self, at: Glance, step: G) -> tuple[Limit, ...]:
        """The limits that it has now."""
        now = with_limits(at.context.procedure, at.state, step)
        return limit_lines(now.limits, at.words)

    def _doubted(self, at: Glance, step: G, awaiting: DigitCheck) -> Scene:
        text, sign = indication_text(awaiting.indication, _unit(at, step), at.words)
        figure = Figure(step.places[awaiting.index] or step.quantity, text, sign)
        return Scene(at.words("task_digits"), "doubt", at.words("band_doubt"), (), figure)

    def _asked(self, at: Glance, step: G, awaiting: Measuring) -> Scene:
        gauge = gauge_in_hand(at.context.procedure, at.state, step.gauge)
        lines = [Line(at.words("line_gauge"), gauge.name)]
        if not at.state.values.get(step.id):  # said once; later places leave room for figures
            lines.insert(0, Line("", step.say))
        for tried in awaiting.evidence:
            text, sign = indication_text(tried, gauge.unit, at.words)
            lines.insert(0, Line("", f"{text} {sign}"))
        figure = Figure(step.places[awaiting.index], unit=symbol(gauge.unit), awaited=True)
        task = at.words("task_measure", quantity=step.quantity)
        return Scene(task, lines=tuple(lines), figure=figure)

    def found(self, at: Glance, step: G, index: int) -> Figure | None:
        """The reading at a position."""
        name = step.places[index]
        value = at.state.values.get(step.id, {}).get(name)
        if value is None:
            return None
        text, sign = indication_text(value.indication, _unit(at, step), at.words)
        return Figure(name or step.quantity, text, sign)

    def undecided(self, at: Glance, step: G, index: int) -> bool:
        """Whether its uncertainty reaches over a limit."""
        value = at.state.values.get(step.id, {}).get(step.places[index])
        return value is not None and value.judgement.verdict == "undecided"

    def single(self, at: Glance, step: G) -> bool:
        """Whether one reading is there, and no other."""
        return len(at.state.values.get(step.id, {})) == 1

    def rows(self, at: Glance, step: G, awaiting: DialogueState) -> tuple[BoardRow, ...]:
        """The readings of a step with several positions; one reading is shown as the figure."""
        if len(step.places) < 2:
            return ()
        now = awaiting.index if isinstance(awaiting, Measuring | DigitCheck | Held) else None
        return tuple(
            _row(at, step, name, current=index == now) for index, name in enumerate(step.places)
        )

    def idle(self, at: Glance, step: G, awaiting: DialogueState) -> frozenset[str]:
        """With nothing measured or tried yet, there is nothing to take back."""
        if isinstance(awaiting, Measuring):
            some = awaiting.evidence or at.state.values.get(step.id)
            return frozenset() if some else frozenset({"correction", "remeasure", "wrong"})
        return frozenset() if isinstance(awaiting, DigitCheck) else super().idle(at, step, awaiting)

    def names_on_show(self, awaiting: DialogueState) -> bool:
        """Positions are in the rows; they may be named, but need not be."""
        return isinstance(awaiting, Measuring | Review)

    def recorded(self, fact: Fact, words: BoardWords) -> str:
        """A reading that counts, or one that no longer does."""
        if isinstance(fact, ReadingSuperseded):
            return words("record_void", what=fact.position or id_in_words(fact.step))
        if not isinstance(fact, ReadingConfirmed):
            return ""
        text, sign = indication_text(fact.indication, fact.indication.amount.unit, words)
        place = place_alone(fact.quantity, fact.position)
        return words(
            "record_reading",
            quantity=fact.quantity,
            position=f" {place}" if place else "",
            value=f"{text} {sign}".strip(),
            verdict=words("verdict_" + fact.judgement.verdict),
        )


class MeasurementBoard(ReadingBoard[MeasurementStep]):
    """All places of a measurement are one row."""

    kind = "measurement"


def _unit(at: Glance, step: GaugedStep) -> str:
    return gauge_in_hand(at.context.procedure, at.state, step.gauge).unit


def _row(at: Glance, step: GaugedStep, name: str, current: bool) -> BoardRow:
    value = at.state.values.get(step.id, {}).get(name)
    if value is None:
        return BoardRow(short(name), "", "", "", current)
    text, sign = indication_text(value.indication, _unit(at, step), at.words)
    released = name in at.state.released.get(step.id, ())
    verdict = value.judgement.verdict
    mark = "released" if released and verdict != "in" else verdict
    return BoardRow(
        short(name), f"{text} {sign}".strip(), mark, at.words("verdict_" + mark), current
    )
