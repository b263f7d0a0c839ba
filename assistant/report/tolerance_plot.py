"""A reading against its limits as a small picture, told by shape and not by colour."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

from assistant.quantities.amount import Indication
from assistant.quantities.limits import Limits
from assistant.report.lines.reading import ReadingLine
from assistant.report.sheet import words
from assistant.report.sheet.blocks import Drawing
from assistant.report.svg import element, label, picture

WIDTH, HEIGHT, EDGE, MIDDLE = 128.0, 20.0, 9.0, 10.0


@dataclass(frozen=True)
class Scale:
    """From which value to which a plot reaches, in ``unit``."""

    left: float
    right: float
    unit: str

    def x(self, value: float) -> float:
        """The place of ``value``, which may be outside the plot."""
        return EDGE + (value - self.left) / (self.right - self.left) * (WIDTH - 2 * EDGE)


def scale_of(limits: Limits, unit: str, shown: Iterable[Indication]) -> Scale:
    """One scale for all readings of a quantity: the limits rule it, not the readings.

    The permitted band takes the middle half of the plot, so a value far outside cannot squeeze
    it; such a value becomes an arrow. Without limits the readings themselves rule it.
    """
    lower, upper = _ends(limits, unit)
    if lower is not None and upper is not None:
        half = (upper - lower) / 2 or abs(upper) / 2 or 1.0
        return Scale(lower - half, upper + half, unit)
    one = upper if upper is not None else lower
    if one is not None:
        span = abs(one) or max((abs(v) for v in _values(shown, unit)), default=0.0) or 1.0
        if upper is not None:
            return Scale(upper - 1.2 * span, upper + 0.6 * span, unit)
        return Scale(one - 0.6 * span, one + 1.2 * span, unit)
    values = _values(shown, unit) or [0.0]
    least, most = min(values), max(values)
    pad = (most - least) / 5 or abs(most) / 5 or 1.0
    return Scale(least - pad, most + pad, unit)


def tolerance_plot(reading: ReadingLine, scale: Scale | None = None) -> Drawing:
    """A line with the permitted band shaded and the reading on it.

    A round dot is inside the limits, a cross outside, a ring too close to call or without limits;
    a bar is an interval, an arrow a bound. A value beyond the scale is written beside an arrow.
    """
    unit = reading.indication.amount.unit
    scale = scale or scale_of(reading.limits, unit, [reading.indication])
    # A pixel is far coarser than a float; verdicts are made elsewhere, on the exact values.
    low, high = (None if v is None else float(v) for v in reading.indication.bounds(scale.unit))
    parts = [*_ground(reading.limits, scale)]
    if low is not None and low == high:
        parts += _point(reading, scale.x(low))
    else:
        parts += _stretch(
            2.0 if low is None else scale.x(low),
            WIDTH - 2.0 if high is None else scale.x(high),
            low is None,
            high is None,
        )
    limits, verdict = words.limits(reading.limits), words.VERDICTS[reading.judgement.verdict]
    said = f"{words.indication(reading.indication)}, "
    said += verdict if reading.limits.none else f"limits {limits}: {verdict}"
    return Drawing(picture(WIDTH, HEIGHT, said, parts), WIDTH, HEIGHT, said)


@lru_cache(maxsize=256)
def _ground(limits: Limits, scale: Scale) -> tuple[str, ...]:
    """Axis, band and limits: the same for every reading of a quantity."""
    lower, upper = _ends(limits, scale.unit)
    parts: list[str] = []
    if lower is not None or upper is not None:
        start = 0.0 if lower is None else scale.x(lower)
        end = WIDTH if upper is None else scale.x(upper)
        parts.append(
            element("rect", x=start, y=3.0, width=end - start, height=14.0, class_="band",
                    fill="#dcdcdc")
        )  # fmt: skip
    parts.append(
        element("line", x1=0.0, x2=WIDTH, y1=MIDDLE, y2=MIDDLE, class_="axis", stroke="#555",
                stroke_width=0.7)
    )  # fmt: skip
    for limit in (lower, upper):
        if limit is not None:
            at = scale.x(limit)
            parts.append(
                element("line", x1=at, x2=at, y1=1.0, y2=19.0, class_="limit", stroke="#000",
                        stroke_width=1.2)
            )  # fmt: skip
    return tuple(parts)


@lru_cache(maxsize=256)
def _ends(limits: Limits, unit: str) -> tuple[float | None, float | None]:
    lower, upper = limits.lower, limits.upper
    return (
        None if lower is None else float(lower.to(unit).value),
        None if upper is None else float(upper.to(unit).value),
    )


def _values(shown: Iterable[Indication], unit: str) -> list[float]:
    return [float(v) for one in shown for v in one.bounds(unit) if v is not None]


def _point(reading: ReadingLine, at: float) -> list[str]:
    if at < 1 or at > WIDTH - 1:
        left = at < 1
        tip, back = (1.0, 9.0) if left else (WIDTH - 1.0, WIDTH - 9.0)
        points = f"{back},{MIDDLE - 5} {tip},{MIDDLE} {back},{MIDDLE + 5}"
        value = words.indication(reading.indication)
        beside, anchor = (back + 3, "start") if left else (back - 3, "end")
        wide = 5.2 * len(value)
        under = element("rect", x=back + 1 if left else back - 3 - wide, y=3.5, width=wide + 4,
                        height=13.0, fill="#fff")  # fmt: skip
        return [
            under,
            element("polygon", points=points, class_="beyond", fill="#000"),
            label(value, beside, MIDDLE + 3.5, 10, class_="value", font_weight="bold",
                  text_anchor=anchor),
        ]  # fmt: skip
    if reading.judgement.verdict == "out":
        ends = ((-1, 1), (1, -1))
        return [
            element("line", x1=at - 4.5, y1=MIDDLE + 4.5 * a, x2=at + 4.5, y2=MIDDLE + 4.5 * b,
                    class_="mark", stroke="#000", stroke_width=2.2)
            for a, b in ends
        ]  # fmt: skip
    if reading.judgement.verdict == "in":
        return [element("circle", cx=at, cy=MIDDLE, r=3.6, class_="dot", fill="#000")]
    return [
        element("circle", cx=at, cy=MIDDLE, r=3.4, class_="ring", fill="#fff", stroke="#000",
                stroke_width=1.6)
    ]  # fmt: skip


def _stretch(start: float, end: float, open_left: bool, open_right: bool) -> list[str]:
    start, end = max(2.0, start), min(WIDTH - 2.0, end)
    line = {"stroke": "#000", "fill": "none"}
    parts = [
        element("line", x1=start, x2=end, y1=MIDDLE, y2=MIDDLE, class_="bar", stroke_width=4.0,
                **line)
    ]  # fmt: skip
    for at, way, is_open in ((start, 5.0, open_left), (end, -5.0, open_right)):
        if is_open:  # an arrow head: the value may be anywhere further on
            points = f"{at + way},{MIDDLE - 4.5} {at},{MIDDLE} {at + way},{MIDDLE + 4.5}"
            parts.append(
                element("polyline", points=points, class_="mark", stroke_width=1.8, **line)
            )
        else:
            parts.append(
                element("line", x1=at, x2=at, y1=5.0, y2=15.0, class_="mark", stroke_width=1.8,
                        **line)
            )  # fmt: skip
    return parts
