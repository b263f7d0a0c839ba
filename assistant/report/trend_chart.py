"""A trend as a picture: single values above, moving ranges below (I-MR chart). Black and white."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.quantities.symbols import symbol
from assistant.report.sheet import words
from assistant.report.sheet.blocks import Drawing
from assistant.report.svg import element, label, picture
from assistant.report.trend import Trend

WIDTH, LEFT, RIGHT, EDGE = 720.0, 20.0, 150.0, 14.0
_HIGH, _LOW, _TOP, _BETWEEN, _FOOT = 230.0, 110.0, 34.0, 40.0, 46.0
_LOOKS = {"limit": (1.6, "none"), "control": (1.0, "6 4"), "mean": (1.0, "1.5 3")}
"""Width and dashes of each kind of line."""
_LEAST_APART = 12.0  # between two words beside the lines


def trend_chart(found: Trend) -> Drawing:
    """Values in the order of building, joined; a ring round those that stand out.

    Full lines are the manual's limits, dashed ones the control limits, the dotted one the mean.
    """
    unit = symbol(found.unit)
    name = words.capital(f"{found.quantity} {found.position}".strip() or "nothing")
    lines: list[tuple[str, str, float]] = []
    if found.limits is not None:
        for title, limit in (
            ("lower limit", found.limits.lower),
            ("upper limit", found.limits.upper),
        ):
            if limit is not None:
                lines.append((title, "limit", float(limit.to(found.unit).value)))
    ranges: list[tuple[str, str, float]] = []
    if found.chart is not None:
        lines += [
            ("mean", "mean", found.chart.mean),
            ("lower control", "control", found.chart.lower),
            ("upper control", "control", found.chart.upper),
        ]
        ranges = [
            ("mean range", "mean", found.chart.mean_range),
            ("upper control", "control", found.chart.upper_range),
        ]
    notable = [bool(p.signals) for p in found.points]
    moved = [(n, p.moving_range) for n, p in enumerate(found.points) if p.moving_range is not None]
    values = [(n, p.value) for n, p in enumerate(found.points)]
    parts = [
        label(f"{name}, {unit}".rstrip(", "), LEFT, 20, 14, font_weight="bold"),
        *_drawn(_Panel(_TOP, _HIGH, values, lines, notable), len(values)),
        label("Moving range: from each build to the next", LEFT, _TOP + _HIGH + 24, 12),
        *_drawn(_Panel(_TOP + _HIGH + _BETWEEN, _LOW, moved, ranges, floor=0.0), len(values)),
    ]
    bottom = _TOP + _HIGH + _BETWEEN + _LOW
    if found.points:
        first, last = found.points[0], found.points[-1]
        parts.append(label(f"{first.job} {first.at[:10]}", LEFT, bottom + 16, 11))
        if len(found.points) > 1:
            parts.append(
                label(f"{last.job} {last.at[:10]}", WIDTH - RIGHT, bottom + 16, 11,
                      text_anchor="end")
            )  # fmt: skip
    explained = "Control limits: mean ± 2.66 × mean moving range. They say how the work runs; "
    parts.append(label(f"{explained}the manual's limits say what is good.", LEFT, bottom + 34, 11))
    height = bottom + _FOOT
    said = _words(found)
    return Drawing(picture(WIDTH, height, said, parts), WIDTH, height, said)


def chart_file(found: Trend) -> str:
    """The picture as an SVG file."""
    drawn = str(trend_chart(found).svg)
    return drawn.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1).replace(
        ">",
        '><!-- assembly-build-record trend --><rect width="100%" height="100%" fill="#fff"/>',
        1,
    )


@dataclass(frozen=True)
class _Panel:
    """One of the two charts: points (build, value) and lines (name, kind, value).

    ``notable`` marks the points with a ring; ``floor`` is where the scale begins, None for the
    lowest value.
    """

    top: float
    height: float
    points: list[tuple[int, float]]
    lines: list[tuple[str, str, float]]
    notable: list[bool] | None = None
    floor: float | None = None


def _drawn(panel: _Panel, count: int) -> list[str]:
    """The panel, with room for ``count`` builds from left to right."""
    top, height, notable = panel.top, panel.height, panel.notable
    shown = [v for _, v in panel.points] + [at for _, _, at in panel.lines] or [0.0]
    least = min(shown) if panel.floor is None else panel.floor
    most = max(shown)
    span = (most - least) or abs(most) or 1.0

    def y(value: float) -> float:
        return top + height - EDGE - (value - least) / span * (height - 2 * EDGE)

    def x(number: int) -> float:
        return LEFT + number * (WIDTH - LEFT - RIGHT) / max(1, count - 1)

    parts: list[str] = []
    end = WIDTH - RIGHT + 8
    lowest = top + height + _LEAST_APART  # the words go upwards from the bottom, never into another
    for name, kind, at in sorted(panel.lines, key=lambda line: line[2]):
        thick, dashes = _LOOKS[kind]
        parts.append(
            element(
                "line", x1=0.0, x2=end, y1=y(at), y2=y(at), class_=kind, stroke="#222",
                stroke_width=thick, stroke_dasharray=dashes,
            )
        )  # fmt: skip
        lowest = min(y(at) + 4, lowest - _LEAST_APART)
        parts.append(label(f"{name} {at:.4g}", end + 4, lowest, 11))
    points = " ".join(f"{x(n):.1f},{y(v):.1f}" for n, v in panel.points)
    parts.append(element("polyline", points=points, class_="way", fill="none", stroke="#777"))
    dot = "range" if notable is None else "dot"
    for number, value in panel.points:
        at_x, at_y = x(number), y(value)
        parts.append(element("circle", cx=at_x, cy=at_y, r=3.5, class_=dot, fill="#000"))
        if notable is not None and notable[number]:
            parts.append(element("circle", cx=at_x, cy=at_y, r=8.0, class_="signal", fill="none",
                                 stroke="#000", stroke_width=2.0))  # fmt: skip
    return parts


def _words(found: Trend) -> str:
    notable = [f"{p.job}: {', '.join(p.signals)}" for p in found.points if p.signals]
    ends = "; ".join(notable) if notable else "nothing stands out"
    return f"{found.quantity} {found.position} over {len(found.points)} builds: {ends}"
