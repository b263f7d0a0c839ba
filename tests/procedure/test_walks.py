"""What the linter passes can be worked through to the end, whatever the builder answers."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from assistant.procedure.kinds.wait import WaitStep
from assistant.procedure.lint import lint
from assistant.procedure.loader import find_procedures, load_procedure
from assistant.procedure.models import Procedure
from tests.procedure.kit import sound_data, step_of
from tests.procedure.walk import walks

SHIPPED = [p for p in find_procedures() if p.stem.startswith("kb2_")]


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_no_answers_block_a_demo_procedure_and_every_step_is_reached(path: Any) -> None:
    procedure = load_procedure(path)
    reached: set[str] = set()
    for walk in walks(procedure):
        assert walk.stuck == ()
        assert set(walk.opened) | set(walk.left_out) == {s.id for s in procedure.steps}
        reached |= set(walk.opened)
    assert reached == {s.id for s in procedure.steps}


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_what_goes_on_meanwhile_does_open_while_the_wait_runs(path: Any) -> None:
    procedure = load_procedure(path)
    for wait in (s for s in procedure.steps if isinstance(s, WaitStep)):
        for walk in walks(procedure):
            if wait.id not in walk.opened:
                continue
            after = walk.opened[walk.opened.index(wait.id) + 1 :]
            open_now = [s for s in wait.meanwhile if s in after]
            assert list(after[: len(open_now)]) == open_now


COIN = st.booleans()
IDS = ("a", "b", "c", "d", "e", "f")
KINDS = ("action", "choice", "measurement", "wait", "caution")


def _step(step_id: str, kind: str) -> dict[str, Any]:
    if kind in ("choice", "measurement"):
        step = dict(step_of(sound_data(), {"choice": "seal", "measurement": "gap"}[kind]))
    else:
        step = {"kind": kind, "title": "T", "say": "Say.", "cautions": ["Mind."]}
    if kind == "wait":
        step["duration"] = "5 min"
    return {**step, "id": step_id}


@st.composite
def procedures(draw: st.DrawFn) -> Procedure:
    """Small procedures with wild prerequisites, conditions and waits, most of them unsound."""
    data = sound_data()
    kinds = draw(st.lists(st.sampled_from(KINDS), min_size=2, max_size=len(IDS)))
    ids = IDS[: len(kinds)]
    few = st.lists(st.sampled_from(ids), max_size=2, unique=True)
    data["steps"] = []
    for step_id, kind in zip(ids, kinds, strict=True):
        step = _step(step_id, kind)
        earlier = [i for i in ids if i < step_id] or [step_id]
        step["after"] = draw(few) if draw(st.integers(0, 5)) == 0 else []
        step["after"] += draw(st.lists(st.sampled_from(earlier), max_size=1))
        step["after"] = [i for i in dict.fromkeys(step["after"]) if i != step_id or draw(COIN)]
        if draw(st.booleans()):
            step["when"] = draw(
                st.fixed_dictionaries(
                    {},
                    optional={
                        "variant": st.lists(st.sampled_from(["standard", "long_shaft"]),
                                            min_size=1, max_size=2),
                        "parts": st.sampled_from(["new", "reused"]),
                        "choice": st.dictionaries(
                            st.sampled_from(earlier), st.sampled_from(["lip", "felt"]), max_size=2),
                        "reading": st.dictionaries(
                            st.sampled_from(earlier), st.sampled_from(["in", "out"]), max_size=2),
                    },
                )
            )  # fmt: skip
        if kind == "wait":
            step["meanwhile"] = draw(few)
        data["steps"].append(step)
    return Procedure.model_validate(data)


_ELSEWHERE = ("marked", "No inspection")


def _sound(procedure: Procedure) -> bool:
    errors = [f for f in lint(procedure) if f.level == "error"]
    return all(any(words in f.message for words in _ELSEWHERE) for f in errors)


@pytest.mark.uncounted
@settings(max_examples=80, deadline=None)
@given(procedures())
def test_whatever_passes_can_be_finished_and_every_step_can_be_reached(
    procedure: Procedure,
) -> None:
    assume(_sound(procedure))
    reached: set[str] = set()
    for walk in walks(procedure):
        assert walk.stuck == ()
        reached |= set(walk.opened)
    assert reached == {s.id for s in procedure.steps}


@pytest.mark.uncounted
@settings(max_examples=200, deadline=None)
@given(procedures())
def test_whatever_gets_stuck_or_is_never_reached_is_told(procedure: Procedure) -> None:
    results = list(walks(procedure))
    stuck = {s for walk in results for s in walk.stuck}
    never = {s.id for s in procedure.steps} - {s for walk in results for s in walk.opened}
    if stuck or never:
        assert not _sound(procedure), (stuck, never)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_a_procedure_comes_back_the_same_from_json(path: Any) -> None:
    """A session keeps its procedure as JSON; nothing exact may be lost on the way."""
    procedure = load_procedure(path)
    assert Procedure.model_validate_json(procedure.model_dump_json()) == procedure
