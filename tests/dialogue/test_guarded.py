"""Guarded limits hold for blades, plugs, rings, computed values and shims alike.

ISO 14253-1: conformity is proved within the limits drawn in by U, non-conformity beyond the limits
drawn out by U; between them nothing is proved.
"""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.states import Blocked, Doing, OutOfLimit
from tests.dialogue.kit import GAUGES, LAST, Bench, procedure

FEELERS = {"id": "fine", "kind": "feeler", "name": "fine feelers", "unit": "thou",
           "resolution": "0.5 thou", "uncertainty": "0.5 thou",
           "members": ["2 thou", "2.5 thou", "3 thou", "3.5 thou", "4 thou"]}  # fmt: skip
PLUGS = {"id": "plugs", "kind": "plug_gauge", "name": "plugs", "unit": "mm",
         "resolution": "0.01 mm", "uncertainty": "0.01 mm",
         "members": ["20 mm", "20.01 mm", "20.02 mm", "20.03 mm", "20.04 mm"]}  # fmt: skip
RINGS = {**PLUGS, "id": "rings", "kind": "ring_gauge", "name": "rings"}
SET = {"id": "shim_set", "kind": "shim_set", "name": "shim set", "unit": "thou",
       "resolution": "1 thou", "members": ["2 thou", "3 thou", "5 thou", "5 thou"]}  # fmt: skip
GAP = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "fine",
       "lower": "2 thou", "upper": "4 thou", "rule": "guarded"}  # fmt: skip
BORE = {**GAP, "id": "bore", "unit": "mm", "gauge": "plugs", "lower": "20 mm", "upper": "20.04 mm"}
DIAL = {**GAP, "id": "play", "gauge": "dial", "lower": "1 thou", "upper": "40 thou",
        "rule": "simple"}  # fmt: skip


def bench(*steps: Mapping[str, object], gauges: tuple[Mapping[str, object], ...] = ()) -> Bench:
    b = Bench(procedure(*steps, LAST, gauges=[*GAUGES, FEELERS, PLUGS, RINGS, SET, *gauges]))
    b.start()
    return b


def test_blades_on_the_limits_do_not_prove_that_the_gap_is_within() -> None:
    b = bench(GAP)
    b.type("blade 2 goes")
    said = b.type("blade 4 does not go")
    assert "In limits" not in said
    assert "does not decide it yet" in said
    assert isinstance(b.awaiting(), Measuring)
    # 2.5 goes: at least 2.0 with U taken off, which is in; 3.5 does not: under 4.0 with U added
    b.type("blade 2.5 goes")
    assert "In limits" in b.type("blade 3.5 does not go")
    b.say("go_on")
    assert [c.judgement.verdict for c in b.of(ReadingConfirmed)] == ["in"]


@pytest.mark.parametrize(
    ("said", "verdict"),
    [
        (["20.01 goes", "20.03 does not go"], "In limits"),
        (["20 goes", "20.03 does not go"], "does not decide"),
        (["20.01 goes", "20.04 does not go"], "does not decide"),
        (["20 does not go"], "does not decide"),
    ],
)
def test_plugs(said: list[str], verdict: str) -> None:
    assert verdict in bench(BORE).type(*said)


@pytest.mark.parametrize(
    ("said", "verdict"),
    [
        (["20.03 goes", "20.01 does not go"], "In limits"),
        (["20.04 goes", "20.01 does not go"], "does not decide"),
        (["20.03 goes", "20 does not go"], "does not decide"),
    ],
)
def test_rings(said: list[str], verdict: str) -> None:
    assert verdict in bench({**BORE, "gauge": "rings"}).type(*said)


def test_a_blade_beyond_the_limit_by_more_than_its_uncertainty_is_out() -> None:
    wide = {**GAP, "upper": "3 thou"}
    assert "does not decide" in bench(wide).type("blade 3.5 goes")
    # 4 goes: at least 3.5, over 3
    assert "Out of limits" in bench(wide).type("blade 4 goes")


def test_no_blade_is_proposed_that_cannot_change_the_verdict() -> None:
    # U = 0.5: only 2.5 or thicker that goes can prove the lower limit
    said = bench(GAP).type("blade 4 does not go")
    assert "Try blade two point five thou." in said


HALF = {"id": "half", "kind": "derived", "quantity": "half", "unit": "thou", "formula": "p / 2",
        "inputs": {"p": "play"}, "upper": "10 thou"}  # fmt: skip


def test_a_computed_value_carries_the_uncertainty_of_its_readings() -> None:
    b = bench(DIAL, HALF)
    b.type("reading 12 thou")
    b.say("go_on")
    (value,) = b.of(ValueDerived)
    assert str(value.uncertainty) == "0.1 thou"  # U of the dial 0.2, halved


def test_a_guarded_computed_value_within_its_uncertainty_of_a_limit_does_not_pass() -> None:
    guarded = {**HALF, "rule": "guarded"}
    b = bench(DIAL, guarded)
    b.type("reading 19.9 thou")
    said = b.say("go_on")
    # 9.95 with U = 0.1 and at most 10
    assert "Too close to call" in said
    assert "good for point one thou" in said
    assert b.awaiting() == OutOfLimit(0)
    b = bench(DIAL, guarded)
    b.type("reading 19.8 thou")
    assert "In limits" in b.say("go_on")
    assert b.state.step == "last"
    # the simple rule takes it as it stands
    b = bench(DIAL, HALF)
    b.type("reading 19.9 thou")
    assert "In limits" in b.say("go_on")


def test_a_guarded_computed_value_of_unknown_uncertainty_is_refused() -> None:
    bare = {k: v for k, v in GAUGES[1].items() if k != "uncertainty"}
    unknown = Bench(procedure(DIAL, {**HALF, "rule": "guarded"}, LAST,
                              gauges=[bare]))  # fmt: skip
    unknown.start()
    unknown.type("reading 12 thou")
    said = unknown.say("go_on")
    assert "uncertainty of a reading in it is not known" in said
    assert unknown.state.awaiting == Blocked()
    assert unknown.of(ValueDerived) == []


SHIMS = {"id": "shims", "kind": "shims", "quantity": "end float", "unit": "thou", "gap": "play",
         "stock": "shim_set", "lower": "2 thou", "upper": "4 thou"}  # fmt: skip


def test_guarded_shims_need_the_uncertainty_of_the_set_too() -> None:
    b = bench(DIAL, {**SHIMS, "rule": "guarded"})
    b.type("reading 13 thou")
    assert "is not known" in b.say("go_on")
    assert b.awaiting() == Blocked()
    known = {**SET, "uncertainty": "0.2 thou", "id": "known"}
    b = bench(DIAL, {**SHIMS, "rule": "guarded", "stock": "known"}, gauges=(known,))
    b.type("reading 13 thou")
    b.say("go_on")
    assert b.awaiting() == Doing()
    b.say("done")
    (fact,) = b.of(ShimsChosen)
    # the dial's 0.2; two shims of one set, taken as erring alike: 0.4; together sqrt(0.2)
    assert str(fact.uncertainty) == "0.45 thou"
    assert fact.judgement is not None
    assert fact.judgement.verdict == "in"
    # a gap whose shims leave 2.4, clear of 2 by less than the whole U
    tight = {**SHIMS, "rule": "guarded", "stock": "known", "upper": "2.8 thou"}
    b = bench(DIAL, tight, gauges=(known,))
    b.type("reading 12.4 thou")
    assert "own uncertainty" in b.say("go_on")
    assert b.awaiting() == Blocked()
