"""Page one: what was built, whether it was accepted, and what an inspector asks first."""

from __future__ import annotations

from collections import Counter
from typing import Literal

from assistant.report.lines.job import ToolLine
from assistant.report.lines.reading import DispositionLine, ReadingLine
from assistant.report.lines.step import TimedLine
from assistant.report.sheet import words
from assistant.report.sheet.blocks import Block, Cell, Column, Item, Paragraph, Row, Table
from assistant.report.sheet.integrity import Integrity, in_short
from assistant.report.sheet.joint import complete, passes, wrench
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import quantity
from assistant.shown_text import id_in_words

Conclusion = tuple[str, str, Literal["good", "bad", "open"]]
_MOST_NUMBERS = 6
_COLUMNS = (
    Column("What", 1.6),
    Column("Value", 1.1),
    Column("Limits", 1.4),
    Column("Verdict", 1.1),
    Column("Decision", 1.2),
    Column("Reason", 1.6),
    Column("Released by", 1.4),
)


def outcome(page: Page) -> Conclusion:
    """Accepted or not, why, and by whom. Never better than the facts."""
    record = page.record
    waiting = len(unreleased(page))
    if record.finished_at is None:
        open_now = next((s for s in page.steps if s.outcome == "open"), None)
        at = f"; work stands at {page.place(open_now.id).lower()}" if open_now else ""
        return "Not finished", f"Last entry {page.times.moment(record.last_at)}{at}.", "open"
    if waiting:
        told = words.count(waiting, "deviation") + " that nobody has released."
        return "Not accepted", words.capital(told), "bad"
    standing = [i for i in record.inspections if i.superseded_at is None]
    latest = {i.step: i for i in standing}
    refused = [i for i in latest.values() if not i.accepted]
    if refused:
        who = refused[-1]
        return "Not accepted", f"{who.person} refused {page.title(who.step)}.", "bad"
    holds = [s for s in page.steps if s.kind == "inspection" and s.outcome != "not_applicable"]
    left = [s for s in holds if s.id not in latest]
    if left:
        return "Not accepted", f"Hold point not passed: {left[0].title}.", "bad"
    if not latest:
        return "Finished", "The procedure has no hold point; nobody accepted it.", "open"
    names = ", ".join(dict.fromkeys(i.person for i in latest.values()))
    last = max(latest.values(), key=lambda i: i.at)
    apart = deviations_of(page) or record.skipped()
    word = "Accepted with deviations" if apart else "Accepted"
    return word, f"By {names}, {page.times.moment(last.at)}.", "good"


def deviations_of(page: Page) -> list[tuple[ReadingLine | None, DispositionLine | None]]:
    """Each value that does not pass, with the decision on it; decisions without a value too."""
    standing: dict[tuple[str, str], DispositionLine] = {}
    for decision in page.record.dispositions:  # the open ones first, those refused last
        if decision.state != "withdrawn":
            standing.setdefault((decision.step, decision.position), decision)
    found: list[tuple[ReadingLine | None, DispositionLine | None]] = []
    for line in page.record.readings:
        key = (line.step, line.position)
        if line.status in ("counts", "unconfirmed"):
            decided = standing.get(key)
            if not line.judgement.passes:
                found.append((line, decided))
                standing.pop(key, None)
    return found + [(None, d) for d in standing.values() if d.state != "refused"]


def unreleased(page: Page) -> list[tuple[ReadingLine | None, DispositionLine | None]]:
    """The deviations that nobody has released."""
    return [(r, d) for r, d in deviations_of(page) if d is None or d.state != "released"]


def deviations(page: Page) -> tuple[Block, ...]:
    """The table of deviations, or that there is none."""
    found = deviations_of(page)
    if not found:
        return (Paragraph("None: every value that counts is in limits or has no limit."),)
    rows = tuple(_deviation(page, line, decided) for line, decided in found)
    return (Table("Deviations", _COLUMNS, rows),)


def _deviation(page: Page, line: ReadingLine | None, decided: DispositionLine | None) -> Row:
    step = line.step if line is not None else decided.step if decided is not None else ""
    what = page.title(step) if line is None else quantity(line)
    if line is None:
        value, verdict = Cell(""), "decided on"
        limits = ""
    else:
        value = Cell(
            words.indication(line.indication),
            words.other_indication(line.indication, line.limits),
            strong=True,
        )
        verdict, limits = words.VERDICTS[line.judgement.verdict], words.limits(line.limits)
    released = decided is not None and decided.state == "released"
    reason = Cell("")
    if decided is not None:
        reason = Cell(decided.reason or ("spoken" if decided.clip else "none given"),
                      sound=decided.clip)  # fmt: skip
    return Row(
        (
            Cell(what, page.numbered(step)),
            value,
            Cell(limits),
            Cell(verdict, strong=True),
            Cell(id_in_words(decided.disposition) if decided else "none", strong=decided is None),
            reason,
            _release(page, decided),
        ),
        alarm=not released,
    )


def _release(page: Page, decided: DispositionLine | None) -> Cell:
    if decided is None:
        return Cell("NOT RELEASED", strong=True)
    if decided.state == "released":
        return Cell(decided.released_by or "", page.times.time(decided.released_at))
    if decided.state == "refused":
        return Cell(
            f"REFUSED by {decided.refused_by}", page.times.time(decided.refused_at), strong=True
        )
    return Cell("NOT RELEASED", strong=True)


def facts(page: Page) -> tuple[Item, ...]:
    """What was built, by whom, to which manual, when."""
    record = page.record
    names = {p.id: p.name for p in record.parts}
    numbers = [
        f"{names.get(i.part, id_in_words(i.part))} {id_in_words(i.what)} {i.text}"
        for i in record.identified
        if i.superseded_at is None
    ]
    serials = all(i.what == "serial" for i in record.identified)
    if len(numbers) > _MOST_NUMBERS:
        more = len(numbers) - _MOST_NUMBERS
        numbers = [*numbers[:_MOST_NUMBERS], f"and {words.count(more, 'number')} more"]
    others = [f"{p.name} ({p.role})" for p in record.people if p.role != "builder"]
    manual = f"{record.governing.title or 'not known'}, revision {record.governing.revision}"
    manual += f", {record.governing.date}" if record.governing.date else ""
    told = [
        ("Job", record.job),
        ("Serial" if serials else "Numbers", "; ".join(numbers)),
        *((words.capital(id_in_words(c.what)), id_in_words(c.value)) for c in record.conditions),
        ("Built by", ", ".join(page.builders) or "nobody named"),
        ("With", ", ".join(others)),
        ("Manual", f"{manual}{_on_bench(page)}"),
        ("Procedure", f"{record.procedure.title}, revision {record.procedure.revision}"),
        ("When", page.times.span(record.opened_at, record.finished_at or record.last_at)),
    ]
    return tuple(Item(label, text) for label, text in told if text)


def _on_bench(page: Page) -> str:
    if not page.record.manual:
        return "; the one on the bench was not checked"
    last = page.record.manual[-1]
    return "; matches the one on the bench" if last.matches else f"; ON THE BENCH: {last.spoken}"


def left(page: Page) -> tuple[Item, ...]:
    """What was skipped or not done, and tools that were out of date."""
    items = [
        Item(
            "Skipped",
            f"{page.place(s.id)}: {id_in_words(s.reason) or 'reason not in writing'}"
            + (", started but not finished" if s.part_way else ""),
            alarm=True,
        )
        for s in page.record.skipped()
    ]
    pending = [s for s in page.steps if s.outcome in ("pending", "open")]
    if pending:
        named = "; ".join(page.place(s.id) for s in pending[:4])
        more = f"; and {len(pending) - 4} more" if len(pending) > 4 else ""
        items.append(Item("Not done", f"{named}{more}", "appendix-c", alarm=True))
    if page.record.unread:
        at = ", ".join(str(u.seq) for u in page.record.unread[:20])
        items.append(
            Item(
                "Unreadable",
                f"{words.count(len(page.record.unread), 'fact')} of the journal could not be read "
                f"by this version (entries {at}) and is not shown; use the version that made it.",
                alarm=True,
            )
        )
    if not items:
        items.append(Item("Steps", "Nothing was skipped, nothing is open."))
    return (*items, *_out_of_time(page), *_tools(page))


def _out_of_time(page: Page) -> list[Item]:
    """Rows of a log that were missed or read late, and work that took longer than it may."""
    items = []
    for log in page.record.logs:
        late = sum(bool(r.late_s) for r in page.record.counting() if r.step == log.step)
        told = [words.count(len(log.missed), "row") + " missed"] if log.missed else []
        told += [words.count(late, "value") + " read late"] if late else []
        if told and log.void_since is None:
            items.append(
                Item("Log", f"{page.place(log.step)}: {', '.join(told)}", "measurements", True)
            )
    items += [
        Item("Timed work", f"{page.place(one.step)}: {_beyond(one)}", alarm=True)
        for one in page.record.timed
        if (one.over_s or not one.known) and one.superseded_at is None
    ]
    return items


def _beyond(work: TimedLine) -> str:
    return f"over by {work.over_s} s" if work.known else "how long it took is not known"


def _tools(page: Page) -> list[Item]:
    used = [t for t in page.record.tools if t.used or t.checked_at]
    items = [
        Item("Tool", _told_of(t), "tools", alarm=page.overdue(t) and t.used)
        for t in used
        if page.overdue(t) or t.findings
    ]
    if used and not any(t.own_name for t in used):
        return [Item("Tools", "No tool that was used is in a tool list: calibration is not known.",
                     "tools")]  # fmt: skip
    items += [
        Item("Tool", f"{t.name} was not in the tool list, so its calibration is not known.",
             "tools", alarm=True)
        for t in used
        if t.used and not t.own_name
    ]  # fmt: skip
    if items or not used:
        return items
    return [Item("Tools", "No tool was out of date.", "tools")]


def _told_of(tool: ToolLine) -> str:
    """What was found on a tool, under its name, and whether anything was done with it."""
    name = tool.own_name or tool.name
    told = " ".join(tool.findings) or f"Its calibration ran out {tool.calibration_due}."
    told = told if name in told else f"{name}: {told}"
    return told if tool.used else f"{told} It was not used."


def glance(page: Page, integrity: Integrity | None, since: Item | None) -> tuple[Item, ...]:
    """The rest of the record in a line each, with links to the whole of it."""
    items = []
    counting = page.record.counting()
    if counting:
        kinds = Counter(r.judgement.verdict for r in counting)
        told = ", ".join(f"{kinds[v]} {word}" for v, word in words.VERDICTS.items() if kinds[v])
        items.append(
            Item("Measurements", f"{words.count(len(counting), 'value')}: {told}.", "measurements")
        )
    for line in page.record.tightenings:
        whole = complete(line)
        told = f"{page.title(line.step)}, {words.amount(line.target)}"
        told += f" ± {words.amount(line.tolerance)}" if line.tolerance else ""
        told += f" and {words.amount(line.angle)}" if line.angle else ""
        state = "every fastener tightened" if whole else "NOT COMPLETE"
        told += f": {state}, {passes(line)}; {wrench(page, line)}."
        items.append(Item("Torque", told, "tightening", alarm=not whole))
    text, alarming = in_short(page, integrity)
    items.append(Item("Integrity", text, "appendix-f", alarming))
    return (*items, *([since] if since else []))


def signatures(page: Page) -> tuple[str, ...]:
    """Who signs the paper."""
    people = [f"{p.name}, {p.role}" for p in page.record.people]
    return tuple(people[:4]) or ("Builder", "Inspector")
