"""Ring gauges: what goes is as large or smaller, and the record says which end is possible."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from tests.dialogue.kit import GAUGES, LAST, Bench, procedure

RINGS = {"id": "ring", "kind": "ring_gauge", "name": "ring gauges", "unit": "mm",
         "resolution": "0.01 mm",
         "members": ["29.99 mm", "30.00 mm", "30.01 mm", "30.02 mm"]}  # fmt: skip
SHAFT = {"id": "shaft", "kind": "measurement", "quantity": "shaft", "unit": "mm", "gauge": "ring",
         "lower": "30.00 mm", "upper": "30.01 mm"}  # fmt: skip


def bench() -> Bench:
    b = Bench(procedure(SHAFT, LAST, gauges=[*GAUGES, RINGS]))
    b.start()
    return b


def test_the_ends_are_said_and_recorded_as_rings_give_them() -> None:
    b = bench()
    b.type("30.01 goes")
    said = b.type("30 does not go")
    assert "over thirty, up to thirty point zero one millimeters" in said
    assert "In limits" in said
    b.say("go_on")
    (kept,) = b.of(ReadingConfirmed)
    assert str(kept.indication) == "over 30 to 30.01 mm"
    assert kept.indication.bounds("mm") == (Fraction(30), Fraction("30.01"))


def test_no_ring_is_proposed_that_has_gone_already_and_rings_are_never_stacked() -> None:
    b = bench()
    said = b.type("30.01 goes")
    assert "Try the gauge marked twenty nine point nine nine millimeters" in said
    said = b.type("29.99 does not go")
    assert said.endswith("Try the gauge marked thirty point zero zero millimeters.")
    assert "together" not in said


def test_plastic_gauge_lies_between_two_printed_widths() -> None:
    """Two bounds make the interval, as with blades: wider than one stripe, not than the next."""
    gauge = {"id": "strip", "kind": "plastic_gauge", "name": "plastic gauge", "unit": "mm",
             "resolution": "0.001 mm", "members": ["0.025 mm", "0.038 mm", "0.051 mm"]}  # fmt: skip
    step = {"id": "main", "kind": "measurement", "quantity": "clearance", "unit": "mm",
            "gauge": "strip", "lower": "0.02 mm", "upper": "0.06 mm",
            "plausible_low": "0 mm", "plausible_high": "0.2 mm"}  # fmt: skip
    b = Bench(procedure(step, gauges=[*GAUGES, gauge]))
    b.start()
    said = b.type("reading more than zero point zero two five")
    assert "does not decide it yet. Compare it with the bar marked" in said
    assert "In limits" in b.type("reading less than zero point zero three eight")
    b.say("go_on")
    (read,) = b.of(ReadingConfirmed)
    assert read.indication.relation == "between"
    assert str(read.indication.amount) == "0.025 mm"
