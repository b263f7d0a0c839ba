"""A joint on the page: what was asked for, a map of each pass, and a row of figures for it."""

from __future__ import annotations

from assistant.report.fastener_label import in_circle
from assistant.report.lines.tightening import PassLine, TighteningLine
from assistant.report.sheet import words
from assistant.report.sheet.blocks import (
    Block,
    Cell,
    Column,
    Drawings,
    Heading,
    Paragraph,
    Row,
    Table,
)
from assistant.report.sheet.page import Page
from assistant.report.torque_map import standing_in, torque_map
from assistant.shown_text import id_in_words

_COLUMNS = (
    Column("Pass", 0.6),
    Column("Set on the wrench", 1.3),
    Column("At the fastener", 1.3),
    Column("Turn", 0.6),
    Column("Fasteners in the order tightened", 2.6),
    Column("From, to", 1.2),
)


def joint(page: Page, line: TighteningLine) -> list[Block]:
    """Heading, figures, maps and passes of one joint."""
    whole, known = complete(line), standing_in(line)
    return [
        Heading(page.title(line.step), page.numbered(line.step)),
        Paragraph(asked(page, line)),
        *([] if whole else [Paragraph(_lacking(line), strong=True)]),
        Drawings(tuple(torque_map(line, one, known) for one in line.passes)),
        Table(
            f"Passes of {page.title(line.step)}",
            _COLUMNS,
            tuple(_row(page, line, one) for one in line.passes),
        ),
    ]


def asked(page: Page, line: TighteningLine) -> str:
    """Target, tolerance, turn, threads and wrench in a sentence."""
    other = words.other_amount(line.target)
    said = f"Target {words.amount(line.target)}"
    if line.tolerance is not None:
        said += f" ± {words.amount(line.tolerance)}"
    said += f" ({other})" if other else ""
    if line.angle is not None:
        said += f", then a turn of {words.amount(line.angle)}"
    said += ". LEFT-HAND THREAD" if line.left_hand else ""
    said += f". Threads {id_in_words(line.thread) or 'not stated'}"
    said += f", {line.lubricant}" if line.lubricant else ""
    said += f", thread locker: {line.locker}" if line.locker else ""
    return f"{said}. {words.capital(wrench(page, line))}. Pattern: {id_in_words(line.pattern)}."


def wrench(page: Page, line: TighteningLine) -> str:
    """The wrench, with until when it is calibrated where that is known; each where there were more.

    One that nothing was tightened with is left out where there is another.
    """
    announced = [one for one in line.passes if one.wrench]
    used = [one for one in announced if one.tightened] or announced
    named = {(one.wrench, one.calibration_due): _last(one) for one in used}
    return "; ".join(_until(page, *one, at) for one, at in named.items()) or (
        page.tool_name(line.tool) if line.tool else "wrench not known"
    )


def _last(one: PassLine) -> str:
    """When something was done last in a pass."""
    return one.tightened[-1].at if one.tightened else one.announced_at


def _until(page: Page, name: str, due: str | None, at: str) -> str:
    if due is None:
        return name
    return f"{name}, calibrated until {due}" + (" (OUT OF DATE)" if page.past(due, at) else "")


def complete(line: TighteningLine) -> bool:
    """Whether every fastener stands tightened in every pass, also in those never announced."""
    return bool(line.passes) and not any(_missing(line, n) for n in _numbers(line))


def passes(line: TighteningLine) -> str:
    """How many passes were announced, and of how many where that is not all."""
    begun = len({one.number for one in line.passes})
    told = words.count(begun, "pass", "passes")
    return f"{begun} of {line.stages} passes" if begun < line.stages else told


def _numbers(line: TighteningLine) -> list[int]:
    return sorted({one.number for one in line.passes} | set(range(1, line.stages + 1)))


def _missing(line: TighteningLine, number: int) -> list[str]:
    done = {
        t.fastener
        for one in line.passes
        if one.number == number
        for t in one.tightened
        if t.void_since is None
    }
    return [name for name in line.given if name not in done]


def _lacking(line: TighteningLine) -> str:
    if not line.passes:
        return "Nothing was tightened."
    told = [
        f"pass {n}: {'every fastener' if missing == line.given else ', '.join(missing)}"
        for n in _numbers(line)
        if (missing := _missing(line, n))
    ]
    return f"Not tightened: {'; '.join(told)}."


def _row(page: Page, line: TighteningLine, one: PassLine) -> Row:
    standing = [t for t in one.tightened if t.void_since is None]
    own = in_circle(line.given or list(dict.fromkeys(t.fastener for t in standing)))
    got = one.at_fastener or next((t.at_fastener for t in standing if t.at_fastener), None)
    got = got or one.torque
    order = ", ".join(own.get(t.fastener) or t.fastener for t in standing) or "none"
    last = _last(one)
    return Row(
        (
            Cell(str(one.number), "" if one.work == "torque" else one.work),
            Cell(words.amount(one.torque) or "none", _about(one), strong=True),
            Cell(words.amount(got) or "none", words.other_amount(got) if got else ""),
            Cell(_turn(one)),
            Cell(order, _done(one)),
            Cell(f"{page.times.time(one.announced_at)}–{page.times.time(last)}"),
        )
    )


def _turn(one: PassLine) -> str:
    turn = words.amount(one.turn)
    return f"back {turn}" if one.work == "loosen" else turn or "none"


def _done(one: PassLine) -> str:
    """What else is to be known of the fasteners of a pass."""
    told = []
    if void := sum(t.void_since is not None for t in one.tightened):
        told.append(f"{words.count(void, 'tightening')} void, see B")
    if one.work == "check":
        moved = [t.fastener for t in one.tightened if t.moved]
        told.append(f"moved: {', '.join(moved)}" if moved else "none moved")
    if together := sum(t.together for t in one.tightened if t.void_since is None):
        told.append(f"{together} said done for the whole pass at once")
    return "; ".join(told)


def _about(one: PassLine) -> str:
    told = [words.other_amount(one.torque)] if one.torque is not None else []
    if one.wanted is not None:
        told.append(f"asked for {words.amount(one.wanted)}")
    if one.assumed is not None:
        told.append(f"± {words.amount(one.assumed)} taken")
    if one.up_to is not None:
        told.append(f"the least; up to {words.amount(one.up_to)}")
    elif one.minimum:
        told.append("the least")
    if one.length is not None:
        told.append(f"held {words.amount(one.length)} from the square")
    return ", ".join(part for part in told if part)
