"""The pictures show what they say, whatever the pattern or the indication."""

from __future__ import annotations

from xml.etree.ElementTree import Element, fromstring

import pytest

from assistant.quantities.amount import Indication, exactly, parse_amount
from assistant.quantities.limits import Limits, judge
from assistant.report.model import PassLine, ReadingLine, TightenedLine, TighteningLine
from assistant.report.tolerance_plot import WIDTH, tolerance_plot
from assistant.report.torque_map import SIZE, torque_map

TORQUE = parse_amount("14 lbf*ft")
AT = "2026-01-05T08:00:00+00:00"


def drawn(pattern: str, given: list[str], done: list[str]) -> Element:
    """A pass of a pattern."""
    line = TighteningLine(
        step="s", tool="t", pattern=pattern, given=given, target=TORQUE, tolerance=None,
        angle=None, thread="dry", lubricant="",
    )  # fmt: skip
    tightened = [
        TightenedLine(fastener=f, order=n, at=AT, torque=TORQUE) for n, f in enumerate(done, 1)
    ]
    return fromstring(
        torque_map(line, PassLine(number=1, torque=TORQUE, announced_at=AT, tightened=tightened))
    )


@pytest.mark.parametrize("pattern", ["cross", "ring", "star", "given", "spiral", "two_row"])
@pytest.mark.parametrize("count", [1, 2, 5, 8, 24])
def test_every_fastener_is_drawn_apart_and_inside(pattern: str, count: int) -> None:
    names = [f"bolt {n}" for n in range(count)]
    picture = drawn(pattern, names, names)
    circles = [c for c in picture if c.tag == "circle"]
    places = {(c.get("cx"), c.get("cy")) for c in circles}
    assert len(places) == count
    height = float(picture.get("height", ""))
    for circle in circles:
        assert 0 <= float(circle.get("cx", "")) <= SIZE
        assert 0 <= float(circle.get("cy", "")) <= height
    texts = [t.text for t in picture if t.tag == "text"]
    assert {str(n) for n in range(1, count + 1)} <= set(texts)
    assert set(names) <= set(texts)


def test_a_fastener_that_was_left_out_is_dashed_and_named() -> None:
    picture = drawn("cross", ["a", "b", "c", "d"], ["a", "c", "b"])
    assert "Not tightened: d." in str(picture.get("aria-label"))
    assert [c.get("class") for c in picture if c.tag == "circle"].count("fastener missed") == 1


def test_fasteners_of_an_unknown_procedure_are_drawn_in_their_order() -> None:
    picture = drawn("given", [], ["x", "<y>"])
    assert "in this order: x, <y>." in str(picture.get("aria-label"))


LIMITS = Limits(parse_amount("1 thou"), parse_amount("3 thou"))


def plotted(indication: Indication, limits: Limits) -> list[Element]:
    """The parts of a plot."""
    reading = ReadingLine(
        step="s", position="", quantity="gap", at=AT, indication=indication, limits=limits,
        judgement=judge(indication, limits, "thou"), status="counts",
    )  # fmt: skip
    return list(fromstring(tolerance_plot(reading)))


@pytest.mark.parametrize(
    ("written", "kind"), [("2 thou", "dot"), ("3 thou", "dot"), ("3.1 thou", "mark")]
)
def test_a_dot_lies_in_the_band_and_a_cross_beside_it(written: str, kind: str) -> None:
    parts = plotted(exactly(written), LIMITS)
    (band,) = [p for p in parts if p.get("class") == "band"]
    left = float(band.get("x", ""))
    right = left + float(band.get("width", ""))
    marks = [p for p in parts if p.get("class") in ("dot", "mark")]
    assert {m.get("class") for m in marks} == {kind}
    ends = [float(m.get(name) or m.get("cx", "")) for m in marks for name in ("x1", "x2")]
    middle = sum(ends) / len(ends)
    if kind == "dot":
        assert left <= middle <= right + 0.1
    else:
        assert middle > right + 1


def test_the_place_in_the_band_is_to_scale() -> None:
    parts = plotted(exactly("2.5 thou"), LIMITS)
    (band,) = [p for p in parts if p.get("class") == "band"]
    (dot,) = [p for p in parts if p.get("class") == "dot"]
    share = (float(dot.get("cx", "")) - float(band.get("x", ""))) / float(band.get("width", ""))
    assert share == pytest.approx(0.75, abs=0.01)


@pytest.mark.parametrize("relation", ["lt", "le", "gt", "ge"])
def test_a_bound_is_an_arrow(relation: str) -> None:
    parts = plotted(Indication(relation, parse_amount("2 thou")), LIMITS)  # type: ignore[arg-type]
    (bar,) = [p for p in parts if p.get("class") == "bar"]
    (head,) = [p for p in parts if p.tag == "polyline"]
    tip = float(str(head.get("points")).split()[1].split(",")[0])
    assert tip == float(bar.get("x1" if relation in ("lt", "le") else "x2", ""))


@pytest.mark.parametrize(
    "limits", [Limits(), Limits(None, parse_amount("0.05 mm")), Limits(parse_amount("0 thou"))]
)
def test_missing_limits_and_zero_are_drawn(limits: Limits) -> None:
    for written in ("0 thou", "2 thou", "-1 thou"):
        for part in plotted(exactly(written), limits):
            for name in ("x", "x1", "x2", "cx"):
                assert 0 <= float(part.get(name, "0")) <= WIDTH
