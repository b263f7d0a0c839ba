"""Limits are said in the unit of the tool in hand, and never looser than they are written."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.dialogue.kinds.measurement.tool_limits import limits_for_tool
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.models import Procedure
from tests.dialogue.kit import LAST, Bench, procedure


def gap(**limits: str) -> dict[str, object]:
    return {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "mm", "gauge": "dial",
            **limits}  # fmt: skip


def measured(procedure: Procedure) -> MeasurementStep:
    step = procedure.step("gap")
    assert isinstance(step, MeasurementStep)
    return step


def test_metric_limits_are_said_in_thou_with_an_inch_dial() -> None:
    b = Bench(procedure(gap(lower="0.0508 mm", upper="0.1 mm"), LAST))
    # 0.0508 mm is 2 thou exactly (25.4 mm an inch, NIST SP 811 B.6); 0.1 mm is 3.937... thou,
    # said as 3.93
    assert "two thou to three point nine three thou" in b.start()


def test_a_limit_that_the_tool_can_say_exactly_is_not_rounded() -> None:
    step = procedure(gap(lower="0.010287 mm", upper="0.1 mm"), LAST)
    limits = limits_for_tool(step, measured(step))
    assert (str(limits.lower), str(limits.upper)) == ("0.405 thou", "3.93 thou")


def test_the_verdict_is_made_on_the_limit_as_written() -> None:
    b = Bench(procedure(gap(upper="0.1 mm"), LAST))
    b.start()
    assert "In limits" in b.type("reading 3.9 thou")
    b.say("correction")
    assert "Out of limits" in b.type("reading 4 thou")


@given(st.integers(1, 5000), st.integers(1, 5000))
def test_never_looser(a: int, b: int) -> None:
    low, high = sorted((a, b))
    p = procedure(gap(lower=f"{low / 1000:.3f} mm", upper=f"{high / 1000:.3f} mm"), LAST)
    said = limits_for_tool(p, measured(p))
    assert said.lower is not None
    assert said.upper is not None
    assert said.lower.to("mm").value >= Fraction(low, 1000)
    assert said.upper.to("mm").value <= Fraction(high, 1000)
    assert said.lower.unit == said.upper.unit == "thou"


@pytest.mark.parametrize("unit", ["0.5 thou", "0.0005 in"])
def test_limits_in_the_tools_own_unit_stand_as_they_are(unit: str) -> None:
    p = procedure({**gap(upper=unit), "unit": "thou"}, LAST)
    said = limits_for_tool(p, measured(p))
    assert said.upper is not None
    assert said.upper.to("in").value == Fraction(1, 2000)
