"""Shims of two steps chosen at once out of one box: a split between left and right."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.states import Blocked, Doing
from tests.dialogue.kit import GAUGES, LAST, procedure, replay
from tests.report.test_from_dialogue import KeptBench

BOX = {"id": "box", "kind": "shim_set", "name": "shim box", "unit": "mm", "resolution": "0.01 mm",
       "members": ["0.5 mm", "0.3 mm", "0.31 mm", "0.4 mm"]}  # fmt: skip


def gap(name: str) -> dict[str, Any]:
    return {"id": f"{name}_gap", "kind": "measurement", "quantity": f"{name} gap", "unit": "mm",
            "gauge": "mic", "lower": "0.2 mm", "upper": "1 mm", "plausible_low": "0 mm",
            "plausible_high": "3 mm"}  # fmt: skip


def shims(name: str, **more: object) -> dict[str, Any]:
    return {"id": name, "kind": "shims", "quantity": f"{name} error", "unit": "mm",
            "gap": f"{name}_gap", "stock": "box", "lower": "-0.02 mm", "upper": "0.02 mm",
            **more}  # fmt: skip


LEFT = shims("left", together_with="right")
RIGHT = shims("right", lower="-0.005 mm", upper="0.005 mm")


def bench(left: str, right: str, *steps: dict[str, Any], **box: object) -> KeptBench:
    b = KeptBench(procedure(gap("left"), gap("right"), *(steps or (LEFT, RIGHT)), LAST,
                            gauges=[*GAUGES, {**BOX, **box}]))  # fmt: skip
    b.start()
    b.type(f"reading {left}")
    b.say("go_on")
    b.type(f"reading {right}")
    return b


def stacks(b: KeptBench) -> list[list[str]]:
    return [[str(s) for s in fact.shims] for fact in b.of(ShimsChosen)]


def test_the_left_leaves_the_shim_that_only_the_right_can_use() -> None:
    b = bench("0.3", "0.3")
    said = b.say("go_on")
    assert "Fit these shims: point three one millimeters." in said
    assert "Keep for right: point three millimeters." in said
    assert "Fit these shims: point three millimeters." in b.say("done")
    b.say("done")
    assert stacks(b) == [["0.31 mm"], ["0.3 mm"]]
    assert [f.kept_for for f in b.of(ShimsChosen)] == ["right", ""]
    formula = next(r.formula for r in b.record().readings if r.step == "left")
    assert formula == "0.3 mm less shims 0.31 mm, chosen together with right"
    assert replay(b.context, b.events) == b.state


def test_chosen_one_after_the_other_the_right_gets_none() -> None:
    b = bench("0.3", "0.3", shims("left"), RIGHT)
    assert "Fit these shims: point three millimeters." in b.say("go_on")
    assert "No shims fit" in b.say("done")


def test_a_box_that_cannot_make_both_says_so_before_the_first() -> None:
    b = bench("0.5", "0.5", members=["0.5 mm"])
    said = b.say("go_on")
    assert "No shims fit. Both stacks come out of one box." in said
    assert b.awaiting() == Blocked()


def test_a_side_that_has_no_stack_at_all_is_named() -> None:
    b = bench("0.5", "0.97", members=["0.5 mm", "0.3 mm"])
    said = b.say("go_on")
    assert "No shims fit. right: No stack of the shims left in the set" in said


def test_a_gap_measured_again_is_shimmed_from_what_is_left() -> None:
    b = bench("0.3", "0.3")
    b.say("go_on", "done")
    # back to the right gap: the left is opened again with it, since it was chosen with it
    for _ in range(2):
        b.say("go_back", "confirm")
    assert b.state.step == "right_gap"
    assert b.state.fitted == {}
    b.type("reading 0.5")
    said = b.say("go_on")
    assert "Fit these shims: point three millimeters." in said
    assert "Keep for right: point five millimeters." in said


@pytest.mark.parametrize("say", ["repeat", "digits"])
def test_asked_again_it_is_the_same_pair(say: str) -> None:
    b = bench("0.3", "0.3")
    b.say("go_on")
    b.say(say)
    assert b.awaiting() == Doing()
    b.say("done", "done")
    assert stacks(b) == [["0.31 mm"], ["0.3 mm"]]
