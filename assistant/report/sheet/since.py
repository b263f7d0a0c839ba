"""What changed since the last build of the same procedure."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.report.lines.reading import ReadingLine
from assistant.report.model import BuildRecord
from assistant.report.sheet import words
from assistant.report.sheet.blocks import Block, Cell, Column, Item, Paragraph, Row, Section, Table
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import quantity

_COLUMNS = (
    Column("What", 2),
    Column("Last build", 1.6),
    Column("This build", 1.6),
    Column("Change"),
)


@dataclass(frozen=True)
class Change:
    """One thing that both builds have; ``difference`` is empty where it is alike."""

    what: str
    before: str
    now: str
    difference: str


def changes(page: Page, last: BuildRecord) -> list[Change]:
    """Documents, tools and values of both builds side by side, as far as they can be compared."""
    record = page.record
    before = Page(last)
    told = [
        _pair(
            "Manual", f"revision {last.governing.revision}", f"revision {record.governing.revision}"
        ),
        _pair(
            "Procedure",
            f"revision {last.procedure.revision}",
            f"revision {record.procedure.revision}",
        ),
    ]
    if (
        last.procedure.revision == record.procedure.revision
        and last.procedure_sha256 != record.procedure_sha256
    ):
        told.append(
            Change("Procedure's file", "other content", "other content", "changed, same revision")
        )
    told.append(_pair("Built by", ", ".join(before.builders), ", ".join(page.builders)))
    old_tools = {t.id: t for t in last.tools if t.used}
    told += [
        _pair(t.name, old_tools[t.id].own_name, t.own_name)
        for t in record.tools
        if t.used and t.id in old_tools and (t.own_name or old_tools[t.id].own_name)
    ]
    old = {(r.step, r.position): r for r in last.counting()}
    told += [
        _value(r, old[r.step, r.position]) for r in record.counting() if (r.step, r.position) in old
    ]
    return told


def _pair(what: str, before: str, now: str) -> Change:
    return Change(what, before, now, "" if before == now else "changed")


def _value(now: ReadingLine, before: ReadingLine) -> Change:
    told = Change(
        quantity(now), words.indication(before.indication), words.indication(now.indication), ""
    )
    first, second = before.indication, now.indication
    if (first.relation, second.relation) != ("eq", "eq"):
        return told if told.before == told.now else _differs(told, "changed")
    try:
        was = first.amount.to(second.amount.unit)
    except ValueError:  # the procedure measures another quantity there now
        return _differs(told, "other quantity")
    apart = second.amount.value - was.value
    if apart == 0:
        return told
    step = type(second.amount)(abs(apart), second.amount.unit, second.amount.resolution)
    return _differs(told, ("+" if apart > 0 else "−") + words.amount(step.as_difference()))


def _differs(one: Change, difference: str) -> Change:
    return Change(one.what, one.before, one.now, difference)


def since_item(page: Page, last: BuildRecord) -> Item:
    """The line on page one."""
    found = changes(page, last)
    moved = sum(bool(c.difference) for c in found)
    same = last.procedure_sha256 == page.record.procedure_sha256
    told = f"{last.job or last.session}, {page.times.moment(last.opened_at)}. "
    told += "Same procedure and manual" if same else "The procedure or its manual is another"
    return Item("Last build", f"{told}; {moved} of {len(found)} things differ.", "last-build")


def since_section(page: Page, last: BuildRecord) -> Section:
    """What differs in a table, and the names of what does not."""
    found = changes(page, last)
    rows = tuple(
        Row((Cell(c.what), Cell(c.before), Cell(c.now), Cell(c.difference, strong=True)))
        for c in found
        if c.difference
    )
    same = [c.what for c in found if not c.difference]
    blocks: list[Block] = [Table("This build and the last", _COLUMNS, rows)] if rows else []
    if same:
        blocks.append(Paragraph(f"The same in both: {'; '.join(same)}."))
    title = f"G  Changed since the last build, {last.job or last.session}"
    return Section(title, "last-build", tuple(blocks))
