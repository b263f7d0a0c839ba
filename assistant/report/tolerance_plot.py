"""A reading against its limits as a small picture, told by shape and not by colour."""

from __future__ import annotations

from functools import lru_cache

from markupsafe import Markup

from assistant.quantities.limits import Limits
from assistant.report.model import ReadingLine
from assistant.report.svg import element, picture

WIDTH, HEIGHT, EDGE, MIDDLE = 170.0, 28.0, 12.0, 14.0


def tolerance_plot(reading: ReadingLine) -> Markup:
    """A line with the permitted band boxed and the reading on it.

    A round dot is inside the limits, a cross outside, a ring undecided or without limits; a bar
    is an interval and an arrow a bound. Positions are to scale between the outermost values shown.
    """
    unit = reading.indication.amount.unit
    # A pixel is far coarser than a float; verdicts are made elsewhere, on the exact values.
    low, high = (None if v is None else float(v) for v in reading.indication.bounds(unit))
    lower, upper, limits = _band(reading.limits, unit)
    known = [v for v in (low, high, lower, upper) if v is not None]
    least, most = min(known), max(known)
    pad = (most - least) / 5 or abs(most) / 5 or 1.0
    left, right = least - pad, most + pad

    def x(value: float | None, otherwise: float) -> float:
        if value is None:
            return otherwise
        return EDGE + (value - left) / (right - left) * (WIDTH - 2 * EDGE)

    parts = [element("line", x1=0.0, x2=WIDTH, y1=MIDDLE, y2=MIDDLE, class_="axis")]
    if lower is not None or upper is not None:
        start, end = x(lower, 0.0), x(upper, WIDTH)
        parts.append(element("rect", x=start, y=4.0, width=end - start, height=20.0, class_="band"))
    for limit in (lower, upper):
        if limit is not None:
            at = x(limit, 0.0)
            parts.append(element("line", x1=at, x2=at, y1=1.0, y2=27.0, class_="limit"))
    if low is None or high is None or low != high:
        parts += _stretch(x(low, 2.0), x(high, WIDTH - 2.0), low is None, high is None)
    else:
        parts += _mark(x(low, 0.0), reading.judgement.verdict)
    label = f"{reading.indication}, limits {limits}: {verdict_words(reading)}"
    return picture(WIDTH, HEIGHT, label, parts)


@lru_cache(maxsize=256)
def _band(limits: Limits, unit: str) -> tuple[float | None, float | None, str]:
    """Both limits in ``unit``, and their text: the same for every reading of a step."""
    ends = [None if a is None else float(a.to(unit).value) for a in (limits.lower, limits.upper)]
    return ends[0], ends[1], str(limits)


def verdict_words(reading: ReadingLine) -> str:
    """The verdict in words."""
    words = {
        "in": "in limits",
        "out": "OUT OF LIMITS",
        "undecided": "undecided",
        "no_limit": "no limit",
    }
    return words[reading.judgement.verdict]


def _mark(at: float, verdict: str) -> list[str]:
    if verdict == "out":
        return [
            element("line", x1=at - 5, y1=MIDDLE - 5, x2=at + 5, y2=MIDDLE + 5, class_="mark"),
            element("line", x1=at - 5, y1=MIDDLE + 5, x2=at + 5, y2=MIDDLE - 5, class_="mark"),
        ]
    shape = "dot" if verdict == "in" else "ring"
    return [element("circle", cx=at, cy=MIDDLE, r=4.5, class_=shape)]


def _stretch(start: float, end: float, open_left: bool, open_right: bool) -> list[str]:
    parts = [element("line", x1=start, x2=end, y1=MIDDLE, y2=MIDDLE, class_="bar")]
    for at, way, is_open in ((start, 6.0, open_left), (end, -6.0, open_right)):
        if is_open:  # an arrow head: the value may lie anywhere on
            points = f"{at + way},{MIDDLE - 5} {at},{MIDDLE} {at + way},{MIDDLE + 5}"
            parts.append(element("polyline", points=points, class_="mark"))
        else:
            parts.append(element("line", x1=at, x2=at, y1=8.0, y2=20.0, class_="mark"))
    return parts
