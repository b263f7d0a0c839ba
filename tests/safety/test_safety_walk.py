"""A small walk of interrupted sessions: no rule is broken, and what matters was reached.

``python -m benchmarks.safety_walk`` walks 1,500 and prints what they met.
"""

from __future__ import annotations

import random
from collections import Counter

import pytest

from assistant.procedure.lint import lint
from tests.safety.invariants import RULES
from tests.safety.made import make
from tests.safety.reach import short_of
from tests.safety.walk import Outcome, walk

SESSIONS = range(20, 50)  # few enough for every day, and all that matters is met in them


@pytest.fixture(scope="module")
def outcomes() -> list[Outcome]:
    return [walk(seed) for seed in SESSIONS]


@pytest.mark.parametrize("rule", [r.__name__ for r in RULES])
def test_no_rule_is_broken(rule: str, outcomes: list[Outcome]) -> None:
    stories = [
        f"session {o.seed}\n{story}\n*** {sentence}"
        for o in outcomes
        for name, sentence, story in o.breaches
        if name == rule
    ]
    assert not stories, stories[0]


def test_what_matters_was_reached(outcomes: list[Outcome]) -> None:
    found: Counter[str] = Counter()
    for outcome in outcomes:
        found.update(outcome.reached)
    assert short_of(found, len(SESSIONS)) == []


@pytest.mark.parametrize("piece", ["heat", "reshim", "rise", "pair", "strip"])
def test_no_rule_is_broken_by_pieces_that_are_asked_for(piece: str) -> None:
    assert [f for f in lint(make(random.Random(1), (piece,))) if f.level == "error"] == []
    for seed in range(4):
        assert walk(seed, (piece,)).breaches == ()


def test_no_rule_is_broken_where_every_bench_has_other_tools() -> None:
    for seed in range(100, 112):
        assert walk(seed, change_tools=True).breaches == ()


def test_the_same_number_gives_the_same_session() -> None:
    assert walk(7) == walk(7)


@pytest.mark.parametrize("seed", range(20))
def test_a_made_procedure_has_no_errors(seed: int) -> None:
    assert [f for f in lint(make(random.Random(seed))) if f.level == "error"] == []
