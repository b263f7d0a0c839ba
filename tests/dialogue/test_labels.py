"""Lists of labels: what they all begin with is said once, and no label is lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.dialogue.labels import listed


@pytest.mark.parametrize(
    ("labels", "said"),
    [
        (["bolt one", "bolt three", "bolt two"], "bolt one, three, two"),
        (["cap bolt one", "cap bolt two"], "cap bolt one, two"),
        (["left upper", "left lower"], "left upper, lower"),
        (["bolt", "bolt two"], "bolt, bolt two"),  # "bolt, two" would be a bolt without a name
        (["upper bolt", "lower bolt"], "upper bolt, lower bolt"),
        (["bolt one"], "bolt one"),
        ([], ""),
    ],
)
def test_the_words_in_common_are_said_once(labels: list[str], said: str) -> None:
    assert listed(labels) == said


WORDS = st.sampled_from(["bolt", "cap", "one", "two"])


@given(st.lists(st.lists(WORDS, min_size=1, max_size=3).map(" ".join), min_size=1, unique=True))
def test_the_labels_can_be_told_from_the_list(labels: list[str]) -> None:
    first, *rest = listed(labels).split(", ")
    assert first == labels[0]
    assert len(rest) == len(labels) - 1
    for label, said in zip(labels[1:], rest, strict=True):
        shared = label.removesuffix(said)
        assert said
        assert label.endswith(said)
        assert first.startswith(shared.strip())
