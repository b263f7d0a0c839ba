"""The order of steps: prerequisites, conditions, waits; nothing overtakes a caution."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import pytest

from assistant.dialogue.order import applies, left_out, next_step, remaining
from assistant.dialogue.state import State, Value
from assistant.procedure.models import Procedure
from assistant.quantities.limits import Judgement, Verdict
from tests.quantities.kit import exactly


def procedure(*steps: Mapping[str, object]) -> Procedure:
    """A small procedure around ``steps``."""
    full = [{"title": str(s["id"]), "say": "Do it.", **s} for s in steps]
    return Procedure.model_validate(
        {
            "id": "kb2_test",
            "title": "Kettlebeck KB-2 test rig",
            "revision": "A",
            "governing": {"title": "KB-2 Manual", "revision": "C", "date": "2025-01-01"},
            "steps": full,
        }
    )


ACTION = {"kind": "action"}
OPEN = State(opened=True)


def opened(p: Procedure, state: State) -> str | None:
    step = next_step(p, state)
    return None if step is None else step.id


def done(*ids: str, **changes: Any) -> State:
    return replace(OPEN, outcomes=dict.fromkeys(ids, "done"), **changes)


def test_steps_open_in_file_order() -> None:
    p = procedure({"id": "a", **ACTION}, {"id": "b", **ACTION})
    assert opened(p, OPEN) == "a"
    assert opened(p, done("a")) == "b"
    assert opened(p, done("a", "b")) is None


def test_only_named_steps_go_on_while_a_wait_runs() -> None:
    p = procedure(
        {"id": "cure", "kind": "wait", "duration": "30 min", "meanwhile": ["side"]},
        {"id": "needs", **ACTION},
        {"id": "side", **ACTION},
    )
    running = done("cure", waits={"cure": "2026-01-01T00:00:00+00:00"})
    assert opened(p, running) == "side"
    both = replace(running, outcomes={"cure": "done", "side": "done"})
    assert opened(p, both) is None
    assert opened(p, replace(both, waits={})) == "needs"


def test_nothing_overtakes_a_caution_even_during_a_wait() -> None:
    p = procedure(
        {"id": "cure", "kind": "wait", "duration": "30 min", "meanwhile": ["side"]},
        {"id": "hot", "kind": "caution"},
        {"id": "side", **ACTION},
    )
    assert opened(p, done("cure", waits={"cure": "2026-01-01T00:00:00+00:00"})) is None


def test_a_prerequisite_whose_wait_still_runs_is_not_met() -> None:
    p = procedure(
        {"id": "cure", "kind": "wait", "duration": "30 min", "meanwhile": ["next"]},
        {"id": "next", "after": ["cure"], **ACTION},
    )
    assert opened(p, done("cure", waits={"cure": "2026-01-01T00:00:00+00:00"})) is None
    assert opened(p, done("cure")) == "next"


@pytest.mark.parametrize(
    ("when", "state", "expected"),
    [
        ({"variant": ["long"]}, replace(OPEN, variant="long"), True),
        ({"variant": ["long"]}, replace(OPEN, variant="short"), False),
        ({"variant": ["long"]}, OPEN, None),
        ({"parts": "new"}, replace(OPEN, parts="new"), True),
        ({"parts": "new"}, replace(OPEN, parts="reused"), False),
        ({"choice": {"seal": "lip"}}, done("seal", choices={"seal": "lip"}), True),
        ({"choice": {"seal": "lip"}}, done("seal", choices={"seal": "felt"}), False),
        ({"choice": {"seal": "lip"}}, OPEN, None),
        ({"choice": {"seal": "lip"}}, replace(OPEN, outcomes={"seal": "skipped"}), False),
    ],
)
def test_conditions(when: Mapping[str, object], state: State, expected: bool | None) -> None:
    p = procedure({"id": "seal", **ACTION}, {"id": "b", "when": when, **ACTION})
    assert applies(p.step("b"), state, p) is expected


@pytest.mark.parametrize(("verdict", "expected"), [("in", False), ("out", True)])
def test_condition_on_a_reading(verdict: Verdict, expected: bool) -> None:
    p = procedure({"id": "f", **ACTION}, {"id": "b", "when": {"reading": {"f": "out"}}, **ACTION})
    value = Value(exactly("3 thou"), Judgement(verdict), "digits")
    assert applies(p.step("b"), done("f", values={"f": {"": value}}), p) is expected


def test_left_out_and_remaining_split_the_open_steps() -> None:
    p = procedure({"id": "a", "when": {"parts": "new"}, **ACTION}, {"id": "b", **ACTION})
    state = replace(OPEN, parts="reused")
    assert [s.id for s in left_out(p, state)] == ["a"]
    assert [s.id for s in remaining(p, state)] == ["b"]
