"""Limits around an earlier value, and steps that depend on how large a value is."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.board.build import build_view
from assistant.board.view import Snapshot
from assistant.board.words import load_words
from assistant.dialogue.context import Context
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.states import Blocked, OutOfLimit, Review
from assistant.language import Language
from assistant.procedure.describe import describe
from assistant.procedure.lint import lint_file
from assistant.procedure.loader import load_procedure
from assistant.session.rehearsal import RehearsalError, rehearse
from tests.dialogue.kit import GAUGES, LAST, procedure
from tests.procedure.kit import Data, sound_data, spoiled, step_of, write_yaml
from tests.report.test_from_dialogue import KeptBench

FINE = {"id": "fine", "kind": "micrometer", "name": "fine micrometer", "unit": "mm",
        "resolution": "0.001 mm", "uncertainty": "0.002 mm"}  # fmt: skip
WIDE: dict[str, Any] = {
    "id": "wide", "kind": "measurement", "quantity": "width", "unit": "mm", "gauge": "fine",
    "plausible_low": "1 mm", "plausible_high": "20 mm",
}  # fmt: skip
SIZE: dict[str, Any] = {
    "id": "size", "kind": "derived", "quantity": "size to grind to", "unit": "mm",
    "formula": "wide - '0.03 mm'", "inputs": {"wide": "wide"},
}  # fmt: skip
GROUND = {**WIDE, "id": "ground", "quantity": "ground width", "around": "size",
          "lower": "-0.004 mm", "upper": "0 mm"}  # fmt: skip


def bench(*steps: dict[str, Any]) -> KeptBench:
    b = KeptBench(procedure(*steps, LAST, gauges=[*GAUGES, FINE]))
    b.start()
    return b


def test_the_size_to_grind_to_is_the_next_steps_limit() -> None:
    b = bench(WIDE, SIZE, GROUND)
    b.type("reading 8.142")
    said = b.say("go_on")
    assert "eight point one zero eight millimeters to eight point one one two millimeters" in said
    b.type("reading 8.113")
    assert b.awaiting() == OutOfLimit(0)
    b.say("correction")
    b.type("reading 8.110")
    assert b.awaiting() == Review()
    view = build_view(b.context, Snapshot(b.state), load_words("en-US"))
    assert [limit.text for limit in view.limits] == ["8.108", "8.112"]
    b.say("go_on")
    kept = b.of(ReadingConfirmed)[-1]
    assert str(kept.limits) == "8.108 mm to 8.112 mm"
    lines = [r for r in b.record().readings if r.step == "ground"]
    assert {str(r.limits) for r in lines} == {"8.108 mm to 8.112 mm"}


def test_without_the_earlier_value_the_step_is_blocked() -> None:
    b = bench(WIDE, SIZE, GROUND)
    b.say("skip", "skip_already_done")
    b.say("skip", "skip_already_done")
    assert b.state.step == "ground"
    assert b.awaiting() == Blocked()


def test_guarded_limits_are_drawn_in_by_the_uncertainty_of_the_value_too() -> None:
    """U of the size is 2 um, that of its one reading; the limits of 8.10 to 8.12 mm lose it."""
    guarded = {**GROUND, "rule": "guarded", "lower": "-0.01 mm", "upper": "0.01 mm"}
    b = bench(WIDE, SIZE, guarded)
    b.type("reading 8.140")
    assert "eight point one zero two millimeters to eight point one one eight" in b.say("go_on")
    b.type("reading 8.117")  # within 2 um of the gauge of its limit: not to be called
    assert b.state.values["ground"][""].judgement.verdict == "undecided"
    narrow = {**guarded, "lower": "-0.001 mm", "upper": "0.001 mm"}
    b = bench(WIDE, SIZE, narrow)
    b.type("reading 8.140")
    b.say("go_on")
    assert b.awaiting() == Blocked()


def test_the_middle_around_the_value_is_rehearsed() -> None:
    context = Context(procedure(WIDE, SIZE, GROUND, LAST, gauges=[*GAUGES, FINE]),
                      Language.load("en-US"))  # fmt: skip
    scenes = {s.title: " ".join(s.said) for s in rehearse(context)}
    # the middle of the plausible band, 10.5 mm, less 0.03 mm, and half of the 4 um under it
    assert "ten point four six eight millimeters. In limits" in scenes["ground"]


def test_a_rehearsal_that_gets_stuck_tells_what_it_reached() -> None:
    nothing = {**SIZE, "formula": "wide / (wide - wide)", "unit": "1"}
    context = Context(procedure(WIDE, nothing, LAST, gauges=[*GAUGES, FINE]),
                      Language.load("en-US"))  # fmt: skip
    with pytest.raises(RehearsalError) as stuck:
        rehearse(context)
    assert "size" in [scene.title for scene in stuck.value.reached]


LESS = {"id": "thin", "kind": "action", "say": "Take a shim out.",
        "when": {"value": {"size": "below 8 mm"}}}  # fmt: skip
MORE = {"id": "thick", "kind": "action", "say": "Put a shim in.",
        "when": {"value": {"size": "at least 8 mm"}}}  # fmt: skip


@pytest.mark.parametrize(("read", "opens"), [("8.029", "thin"), ("8.030", "thick")])
def test_a_step_may_depend_on_how_large_a_value_is(read: str, opens: str) -> None:
    b = bench(WIDE, SIZE, LESS, MORE)
    b.type(f"reading {read}")
    b.say("go_on")
    assert b.state.step == opens


def test_a_value_that_was_skipped_opens_nothing() -> None:
    b = bench(WIDE, LESS | {"when": {"value": {"wide": "below 8 mm"}}})
    b.say("skip", "skip_already_done")
    assert b.state.step == "last"


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({"when": {"value": {"gap": "below 2 thou"}}}, "several values"),
        ({"when": {"value": {"spread": "below 2 degC"}}}, "is not in thou"),
        ({"when": {"value": {"seal": "below 2 thou"}}}, "has no value"),
        ({"when": {"value": {"spreed": "below 2 thou"}}}, "did you mean 'spread'?"),
    ],
)
def test_a_comparison_that_cannot_be_is_told(
    tmp_path: Path, keys: dict[str, Any], told: str
) -> None:
    found = [f.message for f in spoiled(tmp_path, lambda d: step_of(d, "bolts").update(keys))]
    assert any(told in m for m in found), found


def last_gap(data: Data, **keys: object) -> Data:
    gap = {**step_of(data, "gap"), "id": "again", "lower": "-1 thou", "upper": "1 thou", **keys}
    gap.pop("positions")
    data["steps"].insert(data["steps"].index(step_of(data, "bolts")), gap)
    return data


@pytest.mark.parametrize(
    ("around", "told"),
    [("gap", "name the place, such as 'gap.front'"), ("seal", "is not an earlier value"),
     ("gap.rear", "is not a place of 'gap'")],
)  # fmt: skip
def test_limits_around_no_single_value_are_told(tmp_path: Path, around: str, told: str) -> None:
    found = [f.message for f in spoiled(tmp_path, lambda d: last_gap(d, around=around))]
    assert any(told in m for m in found), found


def test_limits_around_a_value_are_checked_and_printed_as_such(tmp_path: Path) -> None:
    path = tmp_path / "p.yaml"
    write_yaml(last_gap(sound_data(), around="gap.top"), path)
    assert lint_file(path) == []
    text = " ".join(describe(load_procedure(path)).split())
    assert "LIMITS: -1 thou to 1 thou. Counted from: Gap top." in text
