"""The appendix: what no longer counts, what was done again, the course of the work, integrity."""

from __future__ import annotations

from assistant.report.lines.reading import DispositionLine, ReadingLine
from assistant.report.sheet import words
from assistant.report.sheet.blocks import Block, Cell, Column, Paragraph, Row, Section, Table
from assistant.report.sheet.integrity import Integrity, grouped, integrity_words
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import hand, quantity, source
from assistant.report.torque_map import pass_words
from assistant.shown_text import id_in_words

_STATUS = {
    "superseded": "struck out",
    "not_taken": "not taken",
    "evidence": "part of a later value",
    "counts": "counts",
    "unconfirmed": "not confirmed",
}
_WHY = {"correction": "corrected", "remeasure": "measured again", "reopened": "step done again"}
_SIDES = {"high": "too high", "low": "too low", "": "out of limits"}


def appendix(page: Page, integrity: Integrity | None) -> tuple[Section, ...]:
    """A to F; those that have nothing to show are left out."""
    made: list[tuple[str, str, list[Block]]] = [
        ("A", "Readings that do not count", _struck(page)),
        ("B", "Done again, missed or decided otherwise", [*_adjustments(page), *_again(page)]),
        ("C", "Steps and their times", _steps(page)),
        ("D", "Course of the work", _moments(page)),
        ("E", "Documents and their revisions", _documents(page)),
        ("F", "Has it been touched?", [*integrity_words(page, integrity)]),
    ]
    return tuple(
        Section(f"{letter}  {title}", f"appendix-{letter.lower()}", tuple(blocks))
        for letter, title, blocks in made
        if blocks
    )


def _struck(page: Page) -> list[Block]:
    rows = tuple(_struck_row(page, n, line) for n, line in enumerate(page.struck, 1))
    columns = (
        Column("No.", 0.5),
        Column("Quantity, place", 1.8),
        Column("Value", 1.2),
        Column("Why it does not count", 2),
        Column("Heard or typed", 2),
    )
    return [Table("Readings that do not count", columns, rows)] if rows else []


def _struck_row(page: Page, number: int, line: ReadingLine) -> Row:
    why = _WHY.get(line.superseded_why, id_in_words(line.superseded_why))
    since = f" {page.times.time(line.superseded_at)}" if line.superseded_at else ""
    told = _STATUS[line.status] + (f": {why}{since}" if why else "")
    before = line.superseded_why == "adjusted"  # right as it was read, and no slip
    told = f"as found before an adjustment{since}" if before else told
    doubted = f"doubted: {id_in_words(line.why_asked)}" if line.why_asked else ""
    said = f"“{line.heard}”" if line.heard else source(page, line)
    return Row(
        (
            Cell(f"A{number}"),
            Cell(quantity(line), page.numbered(line.step)),
            Cell(
                words.indication(line.indication), struck=line.status != "evidence" and not before
            ),
            Cell(told, doubted),
            Cell(said, hand(page, line), sound=line.clip),
        )
    )


def _adjustments(page: Page) -> list[Block]:
    """What was adjusted, and the value that it was adjusted for."""
    rows = tuple(
        Row(
            (
                Cell(page.title(line.step), page.numbered(line.step)),
                Cell(f"Adjustment {line.number}{', ' if line.position else ''}{line.position}"),
                Cell(f"{words.indication(line.found)}, {_SIDES[line.side]}"),
                Cell(line.what, f"then again: {page.title(line.back_to)}" if line.back_to else ""),
                Cell(page.times.time(line.at), sound=line.clip),
            )
        )
        for line in page.record.adjustments
    )
    columns = (
        Column("Step", 1.6),
        Column("Which", 1.2),
        Column("As found", 1.3),
        Column("What was adjusted", 2.2),
        Column("When"),
    )
    return [Table("Adjustments", columns, rows)] if rows else []


def _again(page: Page) -> list[Block]:
    rows = [
        Row(
            (
                Cell(page.title(line.step), page.numbered(line.step)),
                Cell(f"{done.fastener}, pass {one.number}, {pass_words(one)}"),
                Cell(f"void: {done.void_why}"),
                Cell(f"{page.times.time(done.at)}, void {page.times.time(done.void_since)}"),
            )
        )
        for line in page.record.tightenings
        for one in line.passes
        for done in one.tightened
        if done.void_since
    ]
    rows += [
        _decided(page, line)
        for line in page.record.dispositions
        if line.state in ("withdrawn", "refused")
    ]
    rows += [
        Row(
            (
                Cell(page.title(line.step), page.numbered(line.step)),
                Cell(f"{id_in_words(what)} {text}".strip()),
                Cell("superseded: the step was done again"),
                Cell(f"{page.times.time(line.at)}, until {page.times.time(line.superseded_at)}"),
            )
        )
        for line, what, text in (
            *((i, i.what, i.text) for i in page.record.identified),
            *((c, c.option, "") for c in page.record.chosen),
        )
        if line.superseded_at
    ]
    columns = (Column("Step", 1.8), Column("What", 2), Column("Why", 2), Column("When", 1.6))
    return [Table("Done again, missed or decided otherwise", columns, tuple(rows))] if rows else []


def _decided(page: Page, line: DispositionLine) -> Row:
    place = f" at {line.position}" if line.position else ""
    state = f"refused by {line.refused_by}" if line.state == "refused" else "withdrawn"
    return Row(
        (
            Cell(page.title(line.step), page.numbered(line.step)),
            Cell(f"decision{place}: {id_in_words(line.disposition)}", line.reason),
            Cell(state),
            Cell(page.times.time(line.refused_at or line.at), sound=line.clip),
        )
    )


def _steps(page: Page) -> list[Block]:
    rows = []
    for line in page.steps:
        told = id_in_words(line.outcome) + (f": {id_in_words(line.reason)}" if line.reason else "")
        visits = [
            f"{page.times.time(v.opened_at)} to "
            + (page.times.time(v.closed_at) if v.closed_at else "still open")
            for v in line.visits
        ]
        rows.append(
            Row(
                (
                    Cell(str(line.number) if line.number else ""),
                    Cell(line.title),
                    Cell(line.reference),
                    Cell(told, "started but not finished" if line.part_way else ""),
                    Cell("; ".join(visits)),
                    Cell(words.lasting(line.seconds) if line.visits else ""),
                )
            )
        )
    columns = (
        Column("No.", 0.4),
        Column("Step", 2.6),
        Column("Manual", 0.8),
        Column("Outcome", 1.2),
        Column("Opened, closed", 1.8),
        Column("Time open", 0.9),
    )
    return [Table("Every step with its times", columns, tuple(rows))] if rows else []


def _moments(page: Page) -> list[Block]:
    rows = tuple(
        Row((Cell(page.times.time(m.at)), Cell(words.capital(m.what)), Cell(m.detail)))
        for m in page.record.moments
    )
    columns = (Column("When"), Column("What", 2), Column("More", 4))
    return [Table("Course of the work", columns, rows)] if rows else []


def _documents(page: Page) -> list[Block]:
    record, time = page.record, page.times.time
    blocks: list[Block] = [
        Paragraph(
            f"Procedure {record.procedure.title} ({record.procedure_id}), revision "
            f"{record.procedure.revision}, SHA-256 {grouped(record.procedure_sha256)}."
        )
    ]
    blocks += [
        Paragraph(
            f"Manual on the bench, {time(m.at)}: revision {m.spoken} spoken, "
            + ("which is the one called for." if m.matches else f"BUT {m.expected} IS CALLED FOR."),
            strong=not m.matches,
        )
        for m in record.manual
    ]
    for line in record.revisions:
        done = ", ".join(page.title(s) for s in line.done) or "none"
        ahead = ", ".join(page.title(s) for s in line.ahead) or "none"
        gone = ", ".join(page.title(s) for s in line.removed)
        blocks.append(
            Paragraph(
                f"{time(line.at)}: the procedure's file had become revision {line.revision}. "
                f"Changed in steps done already: {done}; in steps still to do: {ahead}"
                + (f"; taken out: {gone}" if gone else "")
                + (f"; new: {', '.join(line.added)}" if line.added else "")
                + ". The job went on by what it began with, and the builder acknowledged it. "
                f"SHA-256 of that file {grouped(line.sha256)}."
            )
        )
    return blocks
