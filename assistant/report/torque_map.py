"""The fasteners of a joint, and the order in which one pass tightened them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, pi, sin
from typing import assert_never

from assistant.report.fastener_label import in_circle, turn_in_order
from assistant.report.lines.tightening import PassLine, TightenedLine, TighteningLine
from assistant.report.sheet import words
from assistant.report.sheet.blocks import Drawing
from assistant.report.svg import element, label, picture

SIZE, DOT = 220.0, 12.0
# White behind the letters: an arrow never runs through a word.
_HALO = {"stroke": "#fff", "stroke_width": "3", "paint_order": "stroke"}
_LONGEST = 16  # letters of a label beside its circle


def standing_in(line: TighteningLine) -> Counter[tuple[int, str]]:
    """Pass number and fastener -> in how many announcements of that pass it stands tightened."""
    return Counter(
        place
        for one in line.passes
        for place in {(one.number, t.fastener) for t in one.tightened if t.void_since is None}
    )


def torque_map(
    line: TighteningLine, one: PassLine, known: Counter[tuple[int, str]] | None = None
) -> Drawing:
    """One pass: a circle for each fastener with its own number inside, its turn beside it.

    Arrows lead from each to the next. A fastener that was not tightened in this pass is dashed.
    The layout is a diagram of the numbering (ring, row or two rows), not a drawing of the part.

    Args:
        known: what :func:`standing_in` gives, where it is at hand.
    """
    standing = [t for t in one.tightened if t.void_since is None]
    labels = line.given or list(dict.fromkeys(t.fastener for t in standing))
    rows = line.pattern in ("spiral", "two_row")
    places = dict(zip(labels, _places(line.pattern, len(labels)), strict=True))
    parts = [
        _arrow(places[a.fastener], places[b.fastener])
        for a, b in pairwise(standing)
        if a.fastener in places and b.fastener in places and a.fastener != b.fastener
    ]
    order: dict[str, list[TightenedLine]] = {}
    for done in standing:
        order.setdefault(done.fastener, []).append(done)
    own = in_circle(labels)
    for name, place in places.items():
        turns = ", ".join(turn_in_order(t.order) for t in order.get(name, []))
        parts += _fastener(_Fastener(name, own[name], turns, *place, in_row=rows), len(labels) == 1)
    said = _said(one, labels, order, standing_in(line) if known is None else known)
    height = SIZE / 2 + 20 if rows else SIZE
    caption = f"Pass {one.number}: {pass_words(one)}"
    return Drawing(picture(SIZE, height, said, parts), SIZE, height, said, caption)


def pass_words(one: PassLine) -> str:
    """What a pass does to each fastener, in a few words."""
    torque, turn = words.amount(one.torque), words.amount(one.turn)
    match one.work:
        case "torque":
            return f"{torque} and {turn}" if turn else torque
        case "turn":
            return f"turn of {turn}"
        case "loosen":
            return f"loosen by {turn}"
        case "check":
            return f"check at {torque}"
        case other:
            assert_never(other)


def _said(
    one: PassLine,
    labels: list[str],
    order: dict[str, list[TightenedLine]],
    known: Counter[tuple[int, str]],
) -> str:
    standing = sorted((t for done in order.values() for t in done), key=lambda t: t.order)
    elsewhere = {name for name in labels if known[one.number, name] > (name in order)}
    said = ", ".join(t.fastener for t in standing) or "none"
    told = f"Pass {one.number}{' at ' if one.work == 'torque' else ', '}{pass_words(one)}"
    told += f", in this order: {said}."
    if apart := [name for name in labels if name in elsewhere]:
        told += f" In this pass, announced another time: {', '.join(apart)}."
    if missing := [name for name in labels if name not in order and name not in elsewhere]:
        told += f" Not tightened: {', '.join(missing)}."
    return told


@dataclass(frozen=True)
class _Fastener:
    """A circle at ``x``, ``y``: ``own`` is inside, ``turns`` are its places in the order.

    ``in_row``: it is in a row, not in a ring.
    """

    name: str
    own: str
    turns: str
    x: float
    y: float
    in_row: bool


def _fastener(one: _Fastener, alone: bool) -> list[str]:
    x, y, own, turns = one.x, one.y, one.own, one.turns
    look: dict[str, str] = {} if turns else {"stroke_dasharray": "3 2.5"}
    parts = [
        element("circle", cx=x, cy=y, r=DOT, class_="fastener" if turns else "fastener missed",
                fill="#fff", stroke="#000", stroke_width=1.5, **look)
    ]  # fmt: skip
    if own:
        parts.append(label(own, x, y + 4.5, 13, text_anchor="middle", font_weight="bold",
                           class_="own"))  # fmt: skip
    name = one.name if len(one.name) <= _LONGEST else one.name[: _LONGEST - 1] + "…"
    beside = turns if own else ", ".join(part for part in (name, turns) if part)
    if beside:
        parts.append(_beside(beside, one, alone))
    return parts


def _beside(text: str, one: _Fastener, alone: bool) -> str:
    """Outside the ring, where no arrow runs; of a row, under the circle."""
    x, y, middle = one.x, one.y, SIZE / 2
    away = hypot(x - middle, y - middle) or 1.0
    if one.in_row or alone or not one.own:
        below = y + DOT + 11 if y >= middle - 1 or one.in_row else y - DOT - 4
        return label(text, x, below, 10, text_anchor="middle", class_="turn", fill="#333", **_HALO)
    reach = DOT + 10
    to_x, to_y = x + (x - middle) / away * reach, y + (y - middle) / away * reach
    return label(
        text, to_x, to_y + 3.5, 10, text_anchor="middle", class_="turn", fill="#333", **_HALO
    )


def _places(pattern: str, count: int) -> list[tuple[float, float]]:
    if pattern == "spiral":
        return [(_across(i, count), SIZE / 4) for i in range(count)]
    if pattern == "two_row":
        row = (count + 1) // 2
        return [
            (_across(i % row, row), SIZE / 8 + 6 + (SIZE / 4 + 10) * (i // row))
            for i in range(count)
        ]
    middle, radius = SIZE / 2, SIZE / 2 - 2 * DOT - 10
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
    x2, y2 = b[0] - ux * (DOT + 1.5), b[1] - uy * (DOT + 1.5)
    head = (
        f"{x2 - 7 * ux + 3.2 * uy:.1f},{y2 - 7 * uy - 3.2 * ux:.1f} {x2:.1f},{y2:.1f} "
        f"{x2 - 7 * ux - 3.2 * uy:.1f},{y2 - 7 * uy + 3.2 * ux:.1f}"
    )
    return element(
        "line", x1=x1, y1=y1, x2=x2, y2=y2, class_="way", stroke="#777", stroke_width=0.9
    ) + element("polygon", points=head, class_="way", fill="#777")
