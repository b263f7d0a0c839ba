"""The pictures show what they say, whatever the pattern or the indication."""

from __future__ import annotations

from xml.etree.ElementTree import Element, fromstring

import pytest

from assistant.quantities.amount import Indication, Relation, parse_amount
from assistant.quantities.limits import Limits, judge
from assistant.report.fastener_label import in_circle, turn_in_order
from assistant.report.lines.reading import ReadingLine
from assistant.report.lines.tightening import PassLine, TightenedLine, TighteningLine
from assistant.report.tolerance_plot import WIDTH, scale_of, tolerance_plot
from assistant.report.torque_map import SIZE, torque_map
from tests.quantities.kit import exactly

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
    one = PassLine(number=1, torque=TORQUE, announced_at=AT, tightened=tightened)
    return fromstring(torque_map(line, one).svg)


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
    inside = [t.text for t in picture if t.get("class") == "own"]
    assert inside == [str(n) for n in range(count)], "each circle has its fastener's own number"
    beside = [str(t.text) for t in picture if t.get("class") == "turn"]
    assert beside == [turn_in_order(n) for n in range(1, count + 1)], "the turn stands beside it"


def test_the_third_bolt_is_lit_as_three_whatever_its_turn() -> None:
    names = ["bolt one", "bolt two", "bolt three", "bolt four"]
    picture = drawn("cross", names, ["bolt one", "bolt three", "bolt two", "bolt four"])
    circles = [(c.get("cx"), c.get("cy")) for c in picture if c.tag == "circle"]
    inside = {t.text: (t.get("x"), t.get("y")) for t in picture if t.get("class") == "own"}
    assert inside["3"][0] == circles[2][0]
    turns = [t.text for t in picture if t.get("class") == "turn"]
    assert turns == ["1st", "3rd", "2nd", "4th"]


@pytest.mark.parametrize(
    ("labels", "short"),
    [
        (["bolt one", "bolt twelve", "bolt twenty three"], ["1", "12", "23"]),
        (["nut 2", "nut 11"], ["2", "11"]),
        (["bolt A", "bolt B2"], ["A", "B2"]),
        (["one", "two"], ["1", "2"]),
        (["B1", "B2"], ["B1", "B2"]),
        (["left bolt one", "right bolt one"], ["", ""]),
        (["left", "upper right"], ["", ""]),
        (["bolt 1012", "bolt 1013"], ["", ""]),
        (["hole 1.5", "hole 2-7"], ["", ""]),
        (["하나", "둘"], ["하나", "둘"]),
    ],
)
def test_what_a_circle_shows(labels: list[str], short: list[str]) -> None:
    assert list(in_circle(labels).values()) == short


def test_ordinals() -> None:
    said = [turn_in_order(n) for n in (1, 2, 3, 4, 11, 12, 13, 21, 112)]
    assert said == ["1st", "2nd", "3rd", "4th", "11th", "12th", "13th", "21st", "112th"]


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
    return list(fromstring(tolerance_plot(reading).svg))


def test_a_value_far_outside_is_an_arrow_with_its_value_and_leaves_the_scale_alone() -> None:
    near, far = plotted(exactly("2 thou"), LIMITS), plotted(exactly("400 thou"), LIMITS)
    bands = [next(p for p in parts if p.get("class") == "band").attrib for parts in (near, far)]
    assert bands[0] == bands[1], "the band stands where it stood"
    (arrow,) = [p for p in far if p.get("class") == "beyond"]
    (value,) = [p for p in far if p.get("class") == "value"]
    assert value.text == "400\u00a0thou"
    assert max(float(xy.split(",")[0]) for xy in str(arrow.get("points")).split()) > WIDTH - 2
    (low,) = [p for p in plotted(exactly("-400 thou"), LIMITS) if p.get("class") == "beyond"]
    assert min(float(xy.split(",")[0]) for xy in str(low.get("points")).split()) < 2


def test_readings_of_a_quantity_share_one_scale() -> None:
    shown = [exactly("1 thou"), exactly("0.0635 mm"), exactly("9 thou")]
    scale = scale_of(Limits(), "thou", shown)
    assert scale.left < 1 < 2.5 < 9 < scale.right
    assert scale_of(LIMITS, "thou", shown) == scale_of(LIMITS, "thou", [])


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
    ends = [float(m.get(name) or m.get("cx") or "") for m in marks for name in ("x1", "x2")]
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
def test_a_bound_is_an_arrow(relation: Relation) -> None:
    parts = plotted(Indication(relation, parse_amount("2 thou")), LIMITS)
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
