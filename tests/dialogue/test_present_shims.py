"""Shims that are in already: what is added or removed, and what is really in the box."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from assistant.dialogue.kinds.shims.facts import ShimsChosen
from tests.dialogue.kit import GAUGES, LAST, procedure
from tests.report.test_from_dialogue import KeptBench

SET = {"id": "box", "kind": "shim_set", "name": "shim box", "unit": "mm", "resolution": "0.05 mm",
       "members": ["0.1 mm", "0.2 mm", "0.3 mm"], "uncertainty": "0.002 mm"}  # fmt: skip
MIC = {"id": "fine", "kind": "micrometer", "name": "fine micrometer", "unit": "mm",
       "resolution": "0.01 mm", "uncertainty": "0.004 mm"}  # fmt: skip


def length(name: str) -> dict[str, Any]:
    return {"id": name, "kind": "measurement", "quantity": name, "unit": "mm", "gauge": "fine",
            "plausible_low": "-1 mm", "plausible_high": "5 mm"}  # fmt: skip


def shims(name: str, gap: str, **more: object) -> dict[str, Any]:
    return {"id": name, "kind": "shims", "quantity": "play", "unit": "mm", "gap": gap,
            "stock": "box", "lower": "0.08 mm", "upper": "0.12 mm", **more}  # fmt: skip


def bench(*steps: dict[str, Any]) -> KeptBench:
    b = KeptBench(procedure(*steps, LAST, gauges=[*GAUGES, MIC, SET]))
    b.start()
    return b


@pytest.mark.parametrize(
    ("gap", "said", "change"),
    [
        # the old 0.25 mm are in; 0.1 mm of play is wanted
        ("0.15", "point zero five millimeters more", "0.05"),
        ("0.05", "point zero five millimeters less", "-0.05"),
        ("-0.05", "point one five millimeters less", "-0.15"),
    ],
)
def test_what_is_to_be_added_or_removed_is_said_and_recorded(
    gap: str, said: str, change: str
) -> None:
    b = bench(length("old"), length("gap"), shims("fit", "gap", present="old"))
    b.type("reading 0.25")
    b.say("go_on")
    b.type(f"reading {gap}")
    assert said in b.say("go_on")
    b.say("done")
    (fact,) = b.of(ShimsChosen)
    assert fact.change is not None
    assert fact.change.value == Fraction(change)
    assert fact.result.value == Fraction("0.1")
    line = next(r for r in b.record().readings if r.formula)
    assert "over shims of 0.25 mm" in line.formula
    # GUM 5.1.2 by hand: two readings of U 4 um by one gauge are taken as fully correlated (8 um),
    # the shim's 2 um as independent: sqrt(64 + 4) is 8.25 um, rounded up
    assert str(fact.uncertainty) == "0.0083 mm"


def test_a_gap_that_opens_is_counted_the_other_way() -> None:
    b = bench(length("old"), length("gap"), shims("fit", "gap", present="old", effect="open"))
    b.type("reading 0.10")
    b.say("go_on")
    b.type("reading -0.1")
    b.say("go_on", "done")
    (fact,) = b.of(ShimsChosen)
    # without the 0.1 mm it is -0.2 mm; 0.3 mm more under the cover leave 0.1 mm
    assert [str(s) for s in fact.shims] == ["0.3 mm"]


def test_shims_that_come_out_are_in_the_box_again() -> None:
    first, second = shims("fit", "gap"), shims("refit", "again", present="fit")
    third = shims("other", "third")
    b = bench(length("gap"), first, length("again"), second, length("third"), third)
    b.type("reading 0.40")
    b.say("go_on", "done")  # the 0.3 mm shim
    b.type("reading -0.1")
    b.say("go_on")  # 0.3 - 0.1 is 0.2 mm without shims: the 0.1 mm shim
    b.say("done")
    b.type("reading 0.40")
    said = b.say("go_on")
    b.say("done")
    assert [[str(s) for s in f.shims] for f in b.of(ShimsChosen)] == [
        ["0.3 mm"], ["0.1 mm"], ["0.3 mm"]]  # fmt: skip
    assert "point three millimeters" in said
