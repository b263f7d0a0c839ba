"""The fasteners of a joint with the order in which one pass tightened them."""

from __future__ import annotations

from itertools import pairwise
from math import cos, hypot, pi, sin

from markupsafe import Markup

from assistant.report.model import PassLine, TightenedLine, TighteningLine
from assistant.report.svg import element, picture

SIZE, DOT = 240.0, 13.0


def torque_map(line: TighteningLine, one: PassLine) -> Markup:
    """One pass: a circle a fastener, with the order inside, its label beside, arrows between.

    A fastener that was not tightened in this pass stays empty and dashed. The layout is a
    diagram of the numbering (ring, row or two rows), not a drawing of the part.
    """
    standing = [t for t in one.tightened if t.void_since is None]
    labels = line.given or list(dict.fromkeys(t.fastener for t in standing))
    places = dict(zip(labels, _places(line.pattern, len(labels)), strict=True))
    parts = [
        _arrow(places[a.fastener], places[b.fastener])
        for a, b in pairwise(standing)
        if a.fastener in places and b.fastener in places and a.fastener != b.fastener
    ]
    order: dict[str, list[TightenedLine]] = {}
    for done in standing:
        order.setdefault(done.fastener, []).append(done)
    for label, (x, y) in places.items():
        done_here = order.get(label, [])
        kind = "fastener" if done_here else "fastener missed"
        parts.append(element("circle", cx=x, cy=y, r=DOT, class_=kind))
        numbers = ",".join(str(t.order) for t in done_here)
        if numbers:
            parts.append(element("text", numbers, x=x, y=y + 4, text_anchor="middle"))
        parts.append(_label(label, x, y, above=y < SIZE / 4))
    said = ", ".join(t.fastener for t in standing) or "none"
    elsewhere = {
        t.fastener
        for other in line.passes
        if other is not one and other.number == one.number
        for t in other.tightened
        if t.void_since is None
    }
    missing = [label for label in labels if label not in order and label not in elsewhere]
    words = f"Pass {one.number} at {one.torque}, in this order: {said}."
    if apart := [label for label in labels if label in elsewhere]:
        words += f" In this pass, announced another time: {', '.join(apart)}."
    if missing:
        words += f" Not tightened: {', '.join(missing)}."
    height = SIZE if line.pattern not in ("spiral", "two_row") else SIZE / 2 + 20
    return picture(SIZE, height, words, parts)


def _label(label: str, x: float, y: float, above: bool) -> str:
    # Above the topmost fasteners, below the others: no arrow runs through a word there.
    beside = y - DOT - 5 if above else y + DOT + 12
    return element("text", label, x=x, y=beside, text_anchor="middle", class_="label")


def _places(pattern: str, count: int) -> list[tuple[float, float]]:
    if pattern == "spiral":
        return [(_across(i, count), SIZE / 4) for i in range(count)]
    if pattern == "two_row":
        row = (count + 1) // 2
        return [
            (_across(i % row, row), SIZE / 8 + 10 + (SIZE / 4 + 10) * (i // row))
            for i in range(count)
        ]
    middle, radius = SIZE / 2, SIZE / 2 - 2 * DOT - 8
    if count == 1:
        return [(middle, middle)]
    turns = [2 * pi * i / count - pi / 2 for i in range(count)]
    return [(middle + radius * cos(t), middle + radius * sin(t)) for t in turns]


def _across(index: int, count: int) -> float:
    return SIZE / 2 if count == 1 else 24 + index * (SIZE - 48) / (count - 1)


def _arrow(a: tuple[float, float], b: tuple[float, float]) -> str:
    length = hypot(b[0] - a[0], b[1] - a[1]) or 1.0
    ux, uy = (b[0] - a[0]) / length, (b[1] - a[1]) / length
    x1, y1 = a[0] + ux * DOT, a[1] + uy * DOT
    x2, y2 = b[0] - ux * (DOT + 1), b[1] - uy * (DOT + 1)
    head = (
        f"{x2 - 7 * ux + 4 * uy:.1f},{y2 - 7 * uy - 4 * ux:.1f} {x2:.1f},{y2:.1f} "
        f"{x2 - 7 * ux - 4 * uy:.1f},{y2 - 7 * uy + 4 * ux:.1f}"
    )
    return element("line", x1=x1, y1=y1, x2=x2, y2=y2, class_="way") + element(
        "polyline", points=head, class_="way"
    )
