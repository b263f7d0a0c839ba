"""The bench: what is said about a tool before it is used, and which one is picked."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from pydantic import ValidationError

from assistant.language.english import in_english
from assistant.quantities.amount import Amount
from assistant.quantities.bench import ToolKind
from assistant.quantities.problem import Problem
from assistant.quantities.shims import ShimStock
from assistant.quantities.tools import Bench, BenchTool, Need, pick_tool, tool_findings, usable_low
from tests.quantities.kit import a, limits

TODAY = date(2026, 3, 2)


def tool(**changes: Any) -> BenchTool:
    written: dict[str, Any] = {
        "id": "wrench",
        "kind": "torque_wrench",
        "name": "the small wrench",
        "unit": "N*m",
        "resolution": "0.5 N*m",
        "upper": "50 N*m",
        "calibration_due": "2026-09-01",
    }
    return BenchTool.model_validate(written | changes)


def micrometer(**changes: Any) -> BenchTool:
    written = {"id": "mic", "kind": "micrometer", "name": "the micrometer", "unit": "mm",
               "resolution": "0.01 mm", "lower": "0 mm", "upper": "25 mm"}  # fmt: skip
    return tool(**(written | changes))


def torque_need(target: Amount, plus_or_minus: Amount | None = None) -> Need:
    """A torque wrench for ``target``."""
    if plus_or_minus is None:
        return Need("torque_wrench", target, target)
    width = Amount(2 * plus_or_minus.value, plus_or_minus.unit)
    return Need("torque_wrench", target, target, width)


NEED = torque_need(a("20 N*m"), a("3 N*m"))


def test_a_good_tool_needs_no_words() -> None:
    assert tool_findings(tool(), NEED, TODAY) == ()


@pytest.mark.parametrize(
    ("changes", "need", "sentence"),
    [
        (
            {"calibration_due": "2026-03-01"},
            NEED,
            "The calibration of the small wrench ran out on 2026-03-01; "
            "use another or have it calibrated.",
        ),
        (
            {"calibration_due": None},
            NEED,
            "the small wrench states no calibration date; look for its label.",
        ),
        (
            {},
            torque_need(a("51 N*m")),
            "51 N·m is over the range of the small wrench, which ends at 50 N·m.",
        ),
        (
            {},
            torque_need(a("9.9 N*m")),
            "9.9 N·m is too little for the small wrench, which is used from 10 N·m.",
        ),
        (
            {"lower": "15 N*m"},
            torque_need(a("12 N*m")),
            "12 N·m is too little for the small wrench, which is used from 15 N·m.",
        ),
        (
            {"resolution": "1 N*m"},
            NEED,
            "the small wrench shows steps of 1 N·m, coarse for limits 6 N·m apart; read with care.",
        ),
        (
            {"resolution": "2 N*m"},
            NEED,
            "the small wrench shows steps of 2 N·m, too coarse for limits 6 N·m apart; "
            "use a finer one.",
        ),
        (
            {},
            Need("micrometer"),
            "the small wrench is a torque wrench; this needs a micrometer.",
        ),
        (
            {},
            torque_need(a("20 mm")),
            "the small wrench shows N*m, which cannot be 20 mm.",
        ),
    ],
)
def test_what_is_said(changes: dict[str, Any], need: Need, sentence: str) -> None:
    (finding,) = tool_findings(tool(**changes), need, TODAY)
    assert in_english(finding.problem) == sentence


def test_due_today_is_still_in_date() -> None:
    assert tool_findings(tool(calibration_due="2026-03-02"), NEED, TODAY) == ()


def test_twenty_percent_unless_the_tool_states_otherwise() -> None:
    # common practice, no source: a wrench is used from 20 % of its largest value, where ISO
    # 6789:2003 began to test it; by ISO 6789-1:2017, 5.1.3, its range begins at its lowest mark
    assert str(usable_low(tool())) == "10 N*m"
    assert tool_findings(tool(), torque_need(a("10 N*m")), TODAY) == ()
    low = tool(usable_from="0.1")
    assert tool_findings(low, torque_need(a("5 N*m")), TODAY) == ()
    assert usable_low(tool(upper=None)) is None
    assert str(usable_low(tool(lower="5 N*m", upper="60 lbf*ft"))) == "12 lbf*ft"


def test_ten_to_one_and_four_to_one() -> None:
    # common practice, no source: the tolerance is ten steps, at the least four
    def said(resolution: str) -> list[bool]:
        need = Need.of_limits("micrometer", limits("20.00 mm", "20.10 mm"))
        return [f.stops for f in tool_findings(micrometer(resolution=resolution), need, TODAY)]

    assert said("0.01 mm") == []
    assert said("0.02 mm") == [False]
    assert said("0.025 mm") == [False]
    assert said("0.026 mm") == [True]


def test_one_sided_limits_have_no_width() -> None:
    need = Need.of_limits("micrometer", limits(None, "20.1 mm"))
    assert need.tolerance is None
    assert tool_findings(micrometer(resolution="1 mm"), need, TODAY) == ()


def test_a_width_of_temperatures_is_a_difference() -> None:
    need = Need.of_limits("thermometer", limits("80 degC", "90 degC"))
    heat = tool(kind="thermometer", unit="degF", resolution="1 degF", upper=None, id="heat")
    assert tool_findings(heat, need, TODAY) == ()


def test_sets() -> None:
    blades = [{"size": "1.5 thou"}, {"size": "2 thou", "count": 0}]
    feeler = tool(kind="feeler", unit="thou", resolution="0.5 thou", upper=None, members=blades)
    assert feeler.blades() == (a("1.5 thou"),)
    assert feeler.stock() == (ShimStock(a("1.5 thou"), 1), ShimStock(a("2 thou"), 0))
    need = Need.of_limits("feeler", limits("1 thou", "2 thou"))
    assert tool_findings(feeler, need, TODAY) == ()
    shims = tool(kind="shim_set", unit="mm", resolution="0.05 mm", upper=None, members=[
        {"size": "0.1 mm"}], calibration_due=None)  # fmt: skip
    assert tool_findings(shims, Need("shim_set"), TODAY) == ()


@pytest.mark.parametrize(
    ("changes", "part"),
    [
        ({"unit": "cubit"}, "'cubit' is not a known unit"),
        ({"upper": "50 mm"}, "50 mm does not suit tool 'wrench'"),
        ({"resolution": "0 N*m"}, "must be above zero"),
        ({"lower": "60 N*m"}, "upside down"),
        ({"kind": "feeler"}, "The set 'wrench' is empty"),
        ({"members": [{"size": "0 N*m"}]}, "has no size"),
        ({"resolution": "lots"}, "not a number followed by a unit"),
        ({"resolution": "1" * 41 + " N*m"}, "Input should be"),
        ({"resolution": 5}, "Input should be"),
        ({"colour": "red"}, "Extra inputs"),
    ],
)
def test_unsound_tools(changes: dict[str, Any], part: str) -> None:
    with pytest.raises(ValidationError, match=part):
        tool(**changes)


def test_a_bench_lists_a_tool_once_and_writes_itself() -> None:
    with pytest.raises(ValidationError, match="'wrench' is listed twice"):
        Bench(tools=(tool(), tool()))
    bench = Bench(tools=(tool(), micrometer()))
    assert Bench.model_validate_json(bench.model_dump_json()) == bench


def test_the_pick() -> None:
    big = tool(id="big", upper="90 N*m", resolution="0.5 N*m")
    coarse = tool(id="coarse", upper="30 N*m", resolution="1 N*m")
    fine = tool(id="fine", resolution="0.2 N*m")
    assert pick_tool([big, coarse, tool(), fine], NEED, TODAY) == fine
    assert pick_tool([big, coarse], NEED, TODAY) == big
    assert pick_tool([coarse], NEED, TODAY) == coarse
    endless = tool(id="endless", upper=None, resolution="0.1 N*m")
    assert pick_tool([endless, tool()], NEED, TODAY) == tool()
    assert pick_tool([tool(), micrometer()], Need("micrometer"), TODAY) == micrometer()


def test_no_pick_is_one_sentence() -> None:
    none = pick_tool([], NEED, TODAY)
    assert isinstance(none, Problem)
    assert in_english(none) == "There is no torque wrench on the bench; fetch one."
    expired = tool(calibration_due="2020-01-01")
    unfit = pick_tool([expired], NEED, TODAY)
    assert isinstance(unfit, Problem)
    assert in_english(unfit) == (
        "No torque wrench on the bench will do: The calibration of the small wrench ran out on "
        "2020-01-01; use another or have it calibrated."
    )


def test_what_a_torque_asks_of_a_wrench() -> None:
    asked = torque_need(a("20 N*m"), a("3 N*m"))
    assert (asked.kind, asked.low, asked.high) == ("torque_wrench", a("20 N*m"), a("20 N*m"))
    assert asked.tolerance == Amount(Fraction(6), "N*m")
    assert torque_need(a("20 N*m")).tolerance is None


def test_what_limits_ask_of_a_gauge() -> None:
    both = Need.of_limits("micrometer", limits("1 mm", "1500 um"))
    assert (both.kind, both.low, both.high) == ("micrometer", a("1 mm"), a("1500 um"))
    assert both.tolerance == Amount(Fraction(1, 2), "mm")
    assert Need.of_limits("micrometer", limits("1 mm", None)).tolerance is None
    assert Need.of_limits("micrometer", limits(None, "1 mm")).tolerance is None


def test_a_missing_label_is_a_remark_and_a_wrong_kind_a_refusal() -> None:
    (label,) = tool_findings(tool(calibration_due=None), NEED, TODAY)
    assert not label.stops
    (kind,) = tool_findings(tool(), Need("depth_gauge"), TODAY)
    assert kind.stops
    told = "the small wrench is a torque wrench; this needs a depth gauge."
    assert in_english(kind.problem) == told


def test_what_lies_over_or_under_the_range_is_refused() -> None:
    for need in (torque_need(a("51 N*m")), torque_need(a("9.9 N*m"))):
        (found,) = tool_findings(tool(), need, TODAY)
        assert found.stops


@pytest.mark.parametrize("kind", ["feeler", "shim_set", "plug_gauge", "ring_gauge"])
def test_a_set_is_as_fine_as_its_members(kind: ToolKind) -> None:
    sizes = [{"size": "1 mm"}, {"size": "1.5 mm"}]
    a_set = micrometer(kind=kind, resolution="0.5 mm", members=sizes)
    assert tool_findings(a_set, Need.of_limits(kind, limits("1 mm", "1.1 mm")), TODAY) == ()
