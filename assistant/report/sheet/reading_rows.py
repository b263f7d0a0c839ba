"""Readings as rows: quantity, place, value, limits, verdict, plot, who measured with what."""

from __future__ import annotations

from assistant.report.lines.reading import ReadingLine
from assistant.report.sheet import words
from assistant.report.sheet.blocks import Cell, Column, Row, Table
from assistant.report.sheet.page import Page
from assistant.report.tolerance_plot import tolerance_plot
from assistant.shown_text import place_alone

COLUMNS = (
    Column("Quantity, place", 2.1),
    Column("Value, ±U (k\u00a0=\u00a02)", 1.15),
    Column("Other unit", 1.15),
    Column("Limits", 1.4),
    Column("Verdict", 1.1),
    Column("Against the limits", fixed=36),
    Column("With what, by whom, when", 2.3),
)


def measured(page: Page, step: str) -> list[Table]:
    """The readings of ``step`` that count, or wait to be confirmed."""
    lines = [r for r in page.readings.get(step, []) if r.status in ("counts", "unconfirmed")]
    rows = tuple(_row(page, line) for line in lines)
    return [Table("Measurements", COLUMNS, rows)] if rows else []


def _row(page: Page, line: ReadingLine) -> Row:
    verdict = words.VERDICTS[line.judgement.verdict]
    alarm = not line.judgement.passes
    where = quantity(line)
    struck = page.struck_numbers.get((line.step, line.position), [])
    notes = [page.numbered(line.step)]
    if struck:
        notes.append("replaces " + ", ".join(f"A{n}" for n in struck))
    if line.status == "unconfirmed":
        notes.append("NOT CONFIRMED")
    if line.late_s:
        notes.append(f"LATE by {-(-line.late_s // 60)} min, due {page.times.time(line.due or '')}")
    return Row(
        (
            Cell(where, "; ".join(n for n in notes if n)),
            Cell(words.indication(line.indication), under(line), strong=True),
            Cell(words.other_indication(line.indication, line.limits)),
            Cell(words.limits(line.limits)),
            Cell(verdict, strong=alarm),
            Cell(drawing=tolerance_plot(line, page.scale(line))),
            Cell(source(page, line), hand(page, line), sound=line.clip),
        ),
        alarm,
    )


def quantity(line: ReadingLine) -> str:
    """Quantity and place of a reading."""
    place = place_alone(line.quantity, line.position)
    return f"{words.capital(line.quantity or 'value')}{', ' if place else ''}{place}"


def under(line: ReadingLine) -> str:
    """The uncertainty, and the value as it was said, where that was in another unit."""
    said = line.indication.said
    return "; ".join(n for n in (spread(line), said and f"said: {words.amount(said)}") if n)


def spread(line: ReadingLine) -> str:
    """The expanded uncertainty, where it is known."""
    if line.uncertainty is None:
        return ""
    return f"±{words.amount(line.uncertainty.as_difference())}"


def source(page: Page, line: ReadingLine) -> str:
    """The gauge, or how the value was computed."""
    if line.formula in line.inputs:
        return f"computed: {line.inputs[line.formula]}"
    if line.formula:
        named = "".join(f"; {name}: {told}" for name, told in line.inputs.items())
        return f"computed: {line.formula.replace('*', '×')}{named}"
    return line.tool or page.tool_name(line.gauge, line.at)


def hand(page: Page, line: ReadingLine) -> str:
    """Who, when, and whether the value was typed or heard."""
    # a value of a log is one of its time, however long its confirmation took
    when = line.at if line.due else line.confirmed_at or line.at
    parts = [line.by, page.times.time(when)]
    if not line.formula:
        parts.append(entered(line))
    return ", ".join(part for part in parts if part)


def entered(line: ReadingLine) -> str:
    """``typed``, or ``heard`` with how it was confirmed where that was digit by digit."""
    how = "typed" if line.engine == "keyboard" else "heard" if line.clip or line.engine else ""
    return f"{how}, digit by digit" if how and line.how == "digits" else how
