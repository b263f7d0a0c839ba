"""A trend as a picture: the builds, the manual's limits, the control limits. Black and white."""

from __future__ import annotations

from markupsafe import Markup

from assistant.report.svg import element, picture
from assistant.report.trend import Trend

WIDTH, HEIGHT, LEFT, RIGHT, EDGE = 640.0, 240.0, 20.0, 120.0, 16.0


def trend_chart(found: Trend) -> Markup:
    """Values in the order of building, joined; a ring round those that stand out.

    Full lines are the manual's limits, dashed ones the control limits, the dotted one the mean.
    """
    lines: list[tuple[str, str, float]] = []
    if found.limits is not None:
        for name, limit in (
            ("lower limit", found.limits.lower),
            ("upper limit", found.limits.upper),
        ):
            if limit is not None:
                lines.append((name, "limit", float(limit.to(found.unit).value)))
    if found.chart is not None:
        lines += [
            ("mean", "mean", found.chart.mean),
            ("lower control", "control", found.chart.lower),
            ("upper control", "control", found.chart.upper),
        ]
    values = [point.value for point in found.points]
    shown = [*values, *(at for _, _, at in lines)] or [0.0]
    least, most = min(shown), max(shown)
    span = (most - least) or abs(most) or 1.0

    def y(value: float) -> float:
        return HEIGHT - EDGE - (value - least) / span * (HEIGHT - 2 * EDGE)

    def x(number: int) -> float:
        step = (WIDTH - LEFT - RIGHT) / max(1, len(values) - 1)
        return LEFT + number * step

    parts: list[str] = []
    for name, kind, at in lines:
        parts.append(element("line", x1=0.0, x2=WIDTH - RIGHT + 8, y1=y(at), y2=y(at), class_=kind))
        parts.append(element("text", f"{name} {at:g}", x=WIDTH - RIGHT + 12, y=y(at) + 4))
    points = " ".join(f"{x(n):.1f},{y(v):.1f}" for n, v in enumerate(values))
    parts.append(element("polyline", points=points, class_="way"))
    for number, point in enumerate(found.points):
        at_x, at_y = x(number), y(point.value)
        parts.append(element("circle", cx=at_x, cy=at_y, r=3.5, class_="dot"))
        if point.signals:
            parts.append(element("circle", cx=at_x, cy=at_y, r=8.0, class_="signal"))
    return picture(WIDTH, HEIGHT, _words(found), parts)


def _words(found: Trend) -> str:
    notable = [f"{p.job}: {', '.join(p.signals)}" for p in found.points if p.signals]
    ends = "; ".join(notable) if notable else "nothing stands out"
    return f"{found.quantity} {found.position} over {len(found.points)} builds: {ends}"
