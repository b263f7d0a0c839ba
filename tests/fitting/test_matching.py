"""Phrases and stretches of speech, one or two of them lost or doubled."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from assistant.fitting.matching import match


@given(st.integers(0, 20))
def test_as_many_stretches_as_phrases_belong_together_in_order(count: int) -> None:
    assert match(count, count, lambda p, s: False) == tuple(range(count))


@given(st.integers(4, 20), st.sets(st.integers(0, 19), max_size=3))
def test_lost_stretches_are_found_out(count: int, lost: set[int]) -> None:
    said = [p for p in range(count) if p not in lost]
    paired = match(count, len(said), lambda p, s: said[s] == p)
    assert paired is not None
    assert [None if s is None else said[s] for s in paired] == [
        p if p in said else None for p in range(count)
    ]


@given(st.integers(4, 20), st.lists(st.integers(0, 19), max_size=3))
def test_stray_stretches_are_left_out(count: int, strays: list[int]) -> None:
    said: list[int | None] = list(range(count))
    for at in strays:
        said.insert(min(at, len(said)), None)
    paired = match(count, len(said), lambda p, s: said[s] == p)
    assert paired is not None
    assert [None if s is None else said[s] for s in paired] == list(range(count))


def test_far_too_few_are_not_guessed_at() -> None:
    assert match(28, 7, lambda p, s: True) is None
