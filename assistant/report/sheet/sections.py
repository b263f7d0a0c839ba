"""The sections after page one, in their order: of the step kinds, and those that all share."""

from __future__ import annotations

from itertools import groupby

from assistant.report.kinds import KINDS
from assistant.report.sheet import words
from assistant.report.sheet.blocks import (
    Block,
    Cell,
    Column,
    Paragraph,
    Photo,
    Row,
    Section,
    Table,
)
from assistant.report.sheet.page import Page
from assistant.shown_text import id_in_words

_FIRST = ("Measurements", "Tightening", "Hold points", "Parts")


def anchor(title: str) -> str:
    """Where a link to the section of this title leads."""
    return "-".join(title.lower().split())


def sections(page: Page) -> tuple[Section, ...]:
    """Every section that has anything to show."""
    own = _of_kinds(page)
    parts = [*own.pop("Parts", []), *_other_parts(page)]
    found = {title: own.pop(title, []) for title in _FIRST if title != "Parts"}
    found |= {
        "Parts": parts,
        "Materials": _materials(page),
        **own,
        "Tools": _tools(page),
        "Cautions and torques acknowledged": _acknowledged(page),
        "Notes": _notes(page),
        "Pictures": _pictures(page),
    }
    return tuple(
        Section(title, anchor(title), tuple(blocks)) for title, blocks in found.items() if blocks
    )


def _of_kinds(page: Page) -> dict[str, list[Block]]:
    """Section title -> what the kinds show, in the order of the steps."""
    found: dict[str, list[Block]] = {}
    titles = dict.fromkeys(kind.section for kind in KINDS if kind.section)
    by_kind = {kind.kind: kind for kind in KINDS}
    for step in page.steps:
        kind = by_kind.get(step.kind)
        if kind is not None:
            found.setdefault(kind.section, []).extend(kind.part(page, step))
            continue
        # The procedure could not be read: whatever there is of the step is shown, once.
        for title in titles:
            first = next(k for k in KINDS if k.section == title)
            found.setdefault(title, []).extend(first.part(page, step))
    return {title: _joined(blocks) for title, blocks in found.items() if title}


def _joined(blocks: list[Block]) -> list[Block]:
    """Tables of the same name that follow one another as one table."""
    joined: list[Block] = []
    for key, group in groupby(
        blocks, lambda b: (b.name, b.columns) if isinstance(b, Table) else None
    ):
        some = list(group)
        if key is None:
            joined += some
        else:
            rows = tuple(row for table in some if isinstance(table, Table) for row in table.rows)
            joined.append(Table(key[0], key[1], rows))
    return joined


def _other_parts(page: Page) -> list[Block]:
    numbered = {line.part for line in page.record.identified if line.superseded_at is None}
    others = [
        part.name + (f" (× {part.quantity})" if part.quantity > 1 else "")
        for part in page.record.parts
        if part.id not in numbered
    ]
    if not others:
        return []
    return [Paragraph(f"Other parts: {'; '.join(others)}.")]


def _materials(page: Page) -> list[Block]:
    done = {line.id for line in page.steps if line.outcome == "done"}
    rows = tuple(
        Row((Cell(m.name), Cell("; ".join(page.place(s) for s in m.steps if s in done))))
        for m in page.record.materials
        if any(step in done for step in m.steps)
    )
    columns = (Column("Material"), Column("Used in", 2.5))
    return [Table("Materials", columns, rows)] if rows else []


def _tools(page: Page) -> list[Block]:
    rows = tuple(
        Row(
            (
                Cell(
                    tool.own_name or tool.name,
                    tool.name if tool.own_name not in ("", tool.name) else id_in_words(tool.kind),
                ),
                Cell(words.amount(tool.resolution) or "not stated"),
                Cell(words.amount(tool.uncertainty) or "not stated"),
                Cell(
                    tool.calibration_due
                    or ("not stated" if tool.own_name else "not in a tool list"),
                    "out of date" if page.overdue(tool) else "",
                    strong=page.overdue(tool),
                ),
                Cell(
                    page.times.time(tool.checked_at) if tool.checked_at else "not looked at",
                    " ".join(tool.findings) or ("fit for the step" if tool.checked_at else ""),
                ),
            ),
            alarm=page.overdue(tool),
        )
        for tool in page.record.tools
        if tool.used or tool.checked_at
    )
    columns = (
        Column("Tool", 2),
        Column("Graduation"),
        Column("Uncertainty (k = 2)", 1.1),
        Column("Calibrated until", 1.1),
        Column("Looked at", 2),
    )
    return [Table("Tools used", columns, rows)] if rows else []


def _acknowledged(page: Page) -> list[Block]:
    rows = tuple(
        Row(
            (
                Cell(page.title(a.step), page.numbered(a.step)),
                Cell(a.what),
                Cell(page.times.time(a.at)),
            )
        )
        for a in page.record.acknowledged
    )
    columns = (Column("Step", 1.6), Column("What was said", 4), Column("Acknowledged"))
    return [Table("Cautions and torques acknowledged", columns, rows)] if rows else []


def _notes(page: Page) -> list[Block]:
    rows = []
    for note in page.record.notes:
        spoken = "spoken, not written down" if note.clip else "no text"
        length = "" if note.seconds is None else f"{round(note.seconds)} s of sound"
        back = f"taken back {page.times.time(note.taken_back_at)}" if note.taken_back_at else ""
        rows.append(
            Row(
                (
                    Cell(words.capital(page.title(note.step))),
                    Cell(
                        note.text or spoken,
                        ", ".join(p for p in (length, back) if p),
                        sound=note.clip,
                        struck=bool(note.taken_back_at and note.text),
                    ),
                    Cell(page.times.time(note.at)),
                )
            )
        )
    columns = (Column("Step", 1.6), Column("Note", 4), Column("When"))
    return [Table("Notes", columns, tuple(rows))] if rows else []


def _pictures(page: Page) -> list[Block]:
    if not page.record.pictures:
        return []
    blocks: list[Block] = [
        Paragraph("A picture's time is that of its file, which the camera's clock has set.")
    ]
    for line in page.record.pictures:
        taken = page.times.time(line.taken)
        about = words.capital(page.title(line.step))
        said = f"{line.name}, taken {taken}, attached {page.times.time(line.at)}"
        if line.taken_back_at:
            said += f"; taken back {page.times.time(line.taken_back_at)}"
        alt = f"{line.name}, attached to {page.title(line.step)}, taken {taken}"
        blocks.append(Photo(line, f"{about}: {said}. SHA-256 {line.file[:16]}…", alt))
    return blocks
