"""The box of shims over a whole session: what one step has fitted another cannot have."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from assistant.dialogue.events import Resumed
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.states import Blocked, Doing
from assistant.quantities.tools import Bench as ToolBench
from tests.dialogue.kit import GAUGES, LAST, PEOPLE, Bench, procedure, replay

FRONT = {"id": "front", "kind": "measurement", "quantity": "front gap", "unit": "thou",
         "gauge": "dial", "lower": "1 thou", "upper": "40 thou"}  # fmt: skip
REAR = {**FRONT, "id": "rear", "quantity": "rear gap"}
SHIMS = {"id": "front_shims", "kind": "shims", "quantity": "front float", "unit": "thou",
         "gap": "front", "stock": "box", "lower": "2 thou", "upper": "4 thou"}  # fmt: skip
REAR_SHIMS = {**SHIMS, "id": "rear_shims", "quantity": "rear float", "gap": "rear"}
BOX = {"id": "box", "kind": "shim_set", "name": "shim box", "unit": "thou",
       "resolution": "1 thou", "members": ["2 thou", "3 thou", "5 thou"]}  # fmt: skip


def bench(*steps: Mapping[str, object], tools: ToolBench | None = None) -> Bench:
    b = Bench(procedure(*steps, LAST, gauges=[*GAUGES, BOX]))
    b.open(PEOPLE, tools)
    b.type("charlie")
    b.say("confirm")
    return b


def test_one_box_that_stands_for_two_gives_each_shim_once() -> None:
    second = {**BOX, "id": "second_box", "name": "second box"}
    mine = {"id": "mine", "kind": "shim_set", "name": "own box", "unit": "thou",
            "resolution": "1 thou",
            "members": [{"size": s} for s in ("2 thou", "3 thou", "5 thou")]}  # fmt: skip
    rear = {**REAR_SHIMS, "stock": "second_box"}
    b = Bench(procedure(FRONT, SHIMS, REAR, rear, LAST, gauges=[*GAUGES, BOX, second]))
    b.open(PEOPLE, ToolBench.model_validate({"tools": [mine]}))
    b.type("charlie")
    b.say("confirm")
    b.type("reading 8 thou")
    assert "Fit these shims: five thou." in b.say("go_on")
    b.say("done")
    b.type("reading 8 thou")
    assert "three thou, and two thou" in b.say("go_on"), "the only five is in the front"


def test_the_only_shim_of_a_size_is_handed_out_once() -> None:
    b = bench(FRONT, SHIMS, REAR, REAR_SHIMS)
    b.type("reading 8 thou")
    assert "Fit these shims: five thou." in b.say("go_on")
    b.say("done")
    b.type("reading 8 thou")
    said = b.say("go_on")
    assert "three thou, and two thou" in said, "the five is gone, two and three are as thick"
    b.say("done")
    assert [[str(s) for s in f.shims] for f in b.of(ShimsChosen)] == [
        ["5 thou"], ["3 thou", "2 thou"],
    ]  # fmt: skip
    assert replay(b.context, b.events) == b.state


def test_an_empty_box_blocks_and_going_back_puts_the_shims_back() -> None:
    b = bench(FRONT, SHIMS, REAR, REAR_SHIMS)
    b.type("reading 13 thou")
    b.say("go_on", "done")  # 2, 3 and 5: all that there is
    b.type("reading 13 thou")
    assert "No shims fit" in b.say("go_on")
    assert b.awaiting() == Blocked()
    for _ in range(3):
        b.say("go_back", "confirm")
    assert b.state.step == "front"
    assert b.state.fitted == {}
    b.type("reading 8 thou")
    assert "Fit these shims: five thou." in b.say("go_on")


def test_the_benchs_own_box_is_kept_account_of_too() -> None:
    own = ToolBench.model_validate(
        {"tools": [{"id": "box", "kind": "shim_set", "name": "own box", "unit": "thou",
                    "resolution": "1 thou",
                    "members": [{"size": "5 thou", "count": 2}]}]}
    )  # fmt: skip
    b = bench(FRONT, SHIMS, REAR, REAR_SHIMS, tools=own)
    b.type("reading 8 thou")
    b.say("go_on", "done")
    b.type("reading 13 thou")
    assert "No shims fit" in b.say("go_on"), "two fives would fit, but one is fitted"
    b.feed(Resumed(at=b.at(), bench=ToolBench.model_validate(
        {"tools": [{**own.tools[0].model_dump(mode="json"),
                    "members": [{"size": "5 thou", "count": 3}]}]})))  # fmt: skip
    assert b.awaiting() == Doing()


def test_another_box_that_takes_the_place_is_the_one_that_shims_come_from() -> None:
    other = ToolBench.model_validate(
        {"tools": [{"id": "metric_box", "kind": "shim_set", "name": "metric box", "unit": "mm",
                    "resolution": "0.01 mm", "members": [{"size": "0.13 mm"}]}]}
    )  # fmt: skip
    b = bench(FRONT, SHIMS, REAR, REAR_SHIMS, tools=other)
    b.type("reading 8 thou")
    said = b.say("go_on")
    assert "metric box would do" in said
    assert "Fit these shims: point one three millimeters" in said
    b.say("done")
    b.type("reading 8 thou")
    assert "No shims fit" in b.say("go_on"), "the only one is fitted"


def test_shims_that_open_a_gap_are_added_to_it_said_and_recorded_so() -> None:
    under = {**SHIMS, "effect": "open", "lower": "8 thou", "upper": "12 thou"}
    b = bench(FRONT, under)
    b.type("reading 5 thou")
    said = b.say("go_on")
    assert "Fit these shims: five thou" in said
    assert "will be ten thou" in said
    b.say("done")
    (fact,) = b.of(ShimsChosen)
    assert (fact.effect, fact.result.value) == ("open", Fraction(10))


def test_a_gap_that_is_too_small_already_says_so() -> None:
    b = bench({**FRONT, "lower": "0 thou"}, SHIMS)
    b.type("reading 1.5 thou")
    assert "under 2 thou without any shim" in b.say("go_on")
    b = bench(FRONT, {**SHIMS, "effect": "open"})
    b.type("reading 9 thou")
    assert "over 4 thou without any shim" in b.say("go_on")
