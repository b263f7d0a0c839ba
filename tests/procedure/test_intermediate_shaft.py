"""The intermediate shaft: its figures against published formulas, and every means it shows."""

from __future__ import annotations

import math
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from assistant.cli.demo import DemoScript, read_script
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.kinds.shims import ShimStep
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.tightening.plan import plan_of
from assistant.procedure.kinds.wait import WaitStep
from assistant.procedure.models import Procedure
from assistant.procedure.step import LimitedStep
from assistant.quantities.amount import Amount
from assistant.quantities.formula import evaluate
from assistant.quantities.joint import proof_load
from assistant.quantities.shims import ShimGap, ShimStack, ShimStock, choose_shims
from assistant.quantities.threads import thread
from assistant.quantities.tools import Bench, Need, tool_findings
from tests.quantities.test_tools import torque_need
from tests.shipped import shipped

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def procedure() -> Procedure:
    return shipped("kb2_intermediate_shaft")


@pytest.fixture(scope="module")
def script() -> DemoScript:
    return read_script(ROOT / "tests" / "golden" / "kb2_intermediate_shaft.yaml")


@pytest.fixture(scope="module")
def bench() -> Bench:
    text = (ROOT / "docs" / "examples" / "kettlebeck_bench.yaml").read_text(encoding="utf-8")
    return Bench.model_validate(YAML(typ="safe", pure=True).load(text))


def limited(procedure: Procedure, step_id: str) -> LimitedStep:
    step = procedure.step(step_id)
    assert isinstance(step, LimitedStep)
    return step


def tightening(procedure: Procedure, step_id: str) -> TighteningStep:
    step = procedure.step(step_id)
    assert isinstance(step, TighteningStep)
    return step


def um(amount: Amount | None) -> Fraction:
    assert amount is not None
    return amount.to("um").value


def test_it_shows_every_means_there_is(procedure: Procedure) -> None:
    steps = procedure.steps
    tightenings = [s for s in steps if isinstance(s, TighteningStep)]
    angles = {s.adapter.angle.value for s in tightenings if s.adapter is not None}
    assert angles == {0, 90}
    assert any(s.prevailing is not None for s in tightenings)
    assert any(s.angle is not None for s in tightenings)
    assert all(s.bolt is not None for s in tightenings)
    assert any(isinstance(s, ShimStep) for s in steps)
    assert any(isinstance(s, LimitedStep) and s.rule == "guarded" for s in steps)
    combined = {s.combine for s in steps if isinstance(s, DerivedStep)}
    assert {"mean", "range"} <= combined
    settle = procedure.step("settle")
    assert isinstance(settle, WaitStep)
    assert "settle" in procedure.step("cover_again").after


def test_the_idler_runs_in_the_fit_40_h7_g6(procedure: Procedure) -> None:
    """ISO 286-1 (from memory): IT6 = 10 i, IT7 = 16 i, i = 0.45 D^(1/3) + 0.001 D, fundamental
    deviation of g = 2.5 D^0.34, D the geometric mean of the step 30 to 50 mm; ISO 286-2 (from
    memory) tables H7 as 0 to +25 um and g6 as -9 to -25 um.
    """
    size = math.sqrt(30 * 50)
    unit = 0.45 * size ** (1 / 3) + 0.001 * size
    grade6, grade7, g = round(10 * unit), round(16 * unit), round(2.5 * size**0.34)
    assert (grade6, grade7, g) == (16, 25, 9)
    bore, clearance = limited(procedure, "bore"), limited(procedure, "clearance")
    assert (um(bore.lower) - 40_000, um(bore.upper) - 40_000) == (Fraction(0), Fraction(grade7))
    for end in ("journal_front", "journal_rear"):
        journal = limited(procedure, end)
        assert um(journal.upper) - 40_000 == -g
        assert um(journal.lower) - 40_000 == -g - grade6
    assert um(clearance.lower) == g
    assert um(clearance.upper) == g + grade6 + grade7


@pytest.mark.parametrize(
    ("step_id", "lever", "beyond", "expected"),
    # FAA AC 43.13-1B figure 7-2 (from memory): reading = torque x A / (A + E), E counted along
    # the wrench, so zero for a crowfoot square to it; the drag of locking nuts is added first
    [
        ("hub_torque", 300, 60, [7.5, 12.5]),
        ("cover_torque", 380, 0, [22, 31, 40]),
        ("cover_again", 380, 0, [40]),
    ],
)
def test_the_wrench_is_set_by_the_extension_formula(
    procedure: Procedure, step_id: str, lever: int, beyond: int, expected: list[float]
) -> None:
    step = tightening(procedure, step_id)
    plan = plan_of(procedure, step)
    assert isinstance(plan, tuple)
    settings = [s.setting for s in plan if s is not None]
    assert [float(mark.value) for mark in settings] == expected
    assert step.target is not None
    drag = float(step.prevailing.value) if step.prevailing is not None else 0.0
    for mark, share in zip(settings, step.passes, strict=True):
        exact = (float(step.target.value) * float(share) + drag) * lever / (lever + beyond)
        assert float(mark.value) == pytest.approx(exact, abs=0.5)


def test_the_stretch_keeps_the_hub_bolt_under_its_proof_load(procedure: Procedure) -> None:
    """Hooke's law F L / (A E) at the proof load of M8 10.9, 30 400 N (ISO 898-1, from memory),
    over a grip of 50 mm: the limits of the stretch lie within it, and well above nothing.
    """
    step = tightening(procedure, "hub_torque")
    assert step.bolt is not None
    bolt = thread(step.bolt.thread)
    load = proof_load(bolt, step.bolt.grade)
    assert float(load.value) == pytest.approx(30_400, rel=0.002)
    most = Amount(load.value * 50 / (Fraction(bolt.stress_area) * 205_000), "mm")
    stretch = limited(procedure, "stretch")
    assert um(most) / 3 < um(stretch.lower) < um(stretch.upper) < um(most)


def readings(script: DemoScript, step_id: str) -> list[Amount]:
    return [r.value for r in script.readings[step_id].values()]


def mean(readings: list[Amount]) -> Amount:
    unit = readings[0].unit
    return Amount(sum((r.to(unit).value for r in readings), Fraction(0)) / len(readings), unit)


def spread(readings: list[Amount]) -> Amount:
    values = [r.to(readings[0].unit).value for r in readings]
    return Amount(max(values) - min(values), readings[0].unit)


def test_the_formulas_say_what_the_arithmetic_of_the_trade_says(
    procedure: Procedure, script: DemoScript
) -> None:
    """Each formula over the golden readings, against the arithmetic by hand."""
    front, rear = readings(script, "journal_front"), readings(script, "journal_rear")

    def formula(step_id: str, **inputs: Amount) -> Amount:
        step = procedure.step(step_id)
        assert isinstance(step, DerivedStep)
        assert set(step.inputs) == set(inputs)
        value = evaluate(step.formula, inputs, step.unit)
        low, high = step.lower, step.upper
        assert low is None or value.value >= low.to(step.unit).value
        assert high is None or value.value <= high.to(step.unit).value
        return value

    narrowed = formula("taper", front=mean(front), rear=mean(rear))
    assert um(narrowed) == um(mean(front)) - um(mean(rear))
    round_ = formula("out_of_round", front=spread(front), rear=spread(rear))
    assert um(round_) == max(um(spread(front)), um(spread(rear)))
    seat = spread(readings(script, "seat_runout"))
    assert formula("eccentricity", seat=seat).value == seat.value / 2
    (pull,) = readings(script, "turning_pull")
    preload = formula("preload", pull=pull)
    assert preload.value == pull.to("N").value * 60 / 1000  # force times lever, in N*m


def test_the_bore_is_brought_to_twenty_degrees(procedure: Procedure, script: DemoScript) -> None:
    """ISO 1 (from memory) in binary arithmetic, with bronze at 18 millionths per kelvin."""
    step = procedure.step("bore")
    assert isinstance(step, DerivedStep)
    (ring,), (heat,) = readings(script, "ring_reading"), readings(script, "bush_heat")
    bush = mean(readings(script, "bush_reading"))
    value = evaluate(step.formula, {"bush": bush, "ring": ring, "heat": heat}, step.unit)
    warm = 40.002 + float(bush.value) - float(ring.value)
    assert float(value.value) == pytest.approx(warm / (1 + 18e-6 * 4.5), abs=1e-9)
    assert float(value.value) == pytest.approx(warm - 40 * 18e-6 * 4.5, abs=1e-6)


def test_the_shims_of_the_golden_session_fit(procedure: Procedure, script: DemoScript) -> None:
    step = procedure.step("rear_shims")
    gap = procedure.step("rear_gap")
    assert isinstance(step, ShimStep)
    assert isinstance(gap, DerivedStep)
    names = {"depth": "bearing_depth", "spigot": "spigot_height", "zero": "depth_zero"}
    assert gap.inputs == names
    inputs = {name: readings(script, source)[0] for name, source in names.items()}
    value = evaluate(gap.formula, inputs, gap.unit)
    stock = [ShimStock(m, 1) for m in procedure.gauge(step.stock).members]
    stack = choose_shims(ShimGap(value), step.limits, stock)
    assert isinstance(stack, ShimStack)
    assert [float(s.value) for s in stack.shims] == [1, 0.2, 0.1]


def test_the_bench_has_every_tool_and_each_suits_its_step(
    procedure: Procedure, bench: Bench
) -> None:
    tools = {t.id: t for t in bench.tools}
    assert set(tools) == {g.id for g in procedure.gauges}
    for gauge in procedure.gauges:
        tool = tools[gauge.id]
        assert (tool.kind, tool.unit, tool.resolution) == (gauge.kind, gauge.unit, gauge.resolution)
        due = tool.calibration_due
        assert due is None or date(2027, 1, 1) <= due <= date(2028, 12, 31)
        if gauge.members:
            there = [m.size for m in tool.members for _ in range(m.count)]
            assert there == list(gauge.members)
    for step in procedure.steps:
        if isinstance(step, MeasurementStep):
            tool, need = tools[step.gauge], Need.of_limits(tools[step.gauge].kind, step.limits)
        elif isinstance(step, TighteningStep):
            assert step.target is not None
            tool, need = tools[step.tool], torque_need(step.target, step.tolerance)
        else:
            continue
        stops = [f for f in tool_findings(tool, need, date(2026, 12, 1)) if f.stops]
        assert stops == [], step.id
        if tool.calibration_due is not None:
            late = tool_findings(tool, need, date(2029, 1, 1))
            assert any(f.stops and f.problem.code == "tool_expired" for f in late)
