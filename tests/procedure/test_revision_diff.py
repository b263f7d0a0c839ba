"""The difference between two revisions, in words."""

from __future__ import annotations

from collections.abc import Callable

from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.procedure.models import Procedure
from assistant.procedure.revision_diff import compare, in_words
from tests.procedure.kit import Data, sound, sound_data, step_of


def revised(change: Callable[[Data], object]) -> Procedure:
    data = sound_data()
    data["revision"] = "B"
    change(data)
    return Procedure.model_validate(data)


def words(change: Callable[[Data], object]) -> list[str]:
    text = in_words(sound(), revised(change)).splitlines()
    assert text[0] == "A small procedure for tests: revision A to revision B"
    assert text[1] == "procedure: revision changed from 'A' to 'B'"
    return text[2:]


def test_the_same_text_has_no_change() -> None:
    assert compare(sound(), sound()) == []
    assert "Nothing changed" in in_words(sound(), sound())


def test_a_change_without_a_new_revision_is_told() -> None:
    data = sound_data()
    step_of(data, "gap")["upper"] = "7 thou"
    text = in_words(sound(), Procedure.model_validate(data))
    assert "gap: upper changed from 6 thou to 7 thou" in text
    assert "raise the revision" in text


def test_a_limit_changes_from_and_to() -> None:
    assert words(lambda d: step_of(d, "gap").update(upper="5 thou")) == [
        "gap: upper changed from 6 thou to 5 thou"
    ]


def test_a_limit_written_otherwise_is_a_change_of_words() -> None:
    """6.0 and 6 are equal in size but not in what they state; the reader learns it."""
    assert words(lambda d: step_of(d, "gap").update(upper="6.0 thou")) == [
        "gap: upper changed from 6 thou to 6.0 thou"
    ]


def test_a_limit_that_goes_is_told() -> None:
    assert words(lambda d: step_of(d, "gap").pop("lower")) == ["gap: lower removed (it was 2 thou)"]


def test_steps_come_and_go() -> None:
    new = {"id": "wipe", "kind": "action", "title": "Wipe", "say": "Wipe it."}
    assert words(lambda d: d["steps"].insert(1, new)) == ["wipe: added after 'lock' ('Wipe')"]
    assert words(lambda d: d["steps"].pop(0)) == ["lock: removed (it was 'Lock out')"]


def test_a_moved_step_is_one_change() -> None:
    assert words(lambda d: d["steps"].insert(1, d["steps"].pop(8))) == [
        "tidy: moved: now after 'lock', was after 'cure'"
    ]


def test_cautions_torque_and_passes() -> None:
    assert words(lambda d: step_of(d, "bolts").update(cautions=["Mind your hands."])) == [
        "bolts: cautions added: ['Mind your hands.']"
    ]
    assert words(lambda d: step_of(d, "bolts").update(target="13 lbf*ft", passes=["1"])) == [
        "bolts: target changed from 12 lbf*ft to 13 lbf*ft",
        "bolts: passes changed from [0.5, 1] to [1]",
    ]


def test_conditions_gauges_and_the_governing_revision() -> None:
    assert words(lambda d: step_of(d, "place").update(when={"parts": "new"})) == [
        "place: when changed from choice seal is lip to parts new"
    ]
    assert words(lambda d: d["gauges"][0].update(uncertainty="0.1 thou")) == [
        "gauge dial: uncertainty changed from 0.2 thou to 0.1 thou"
    ]
    assert words(lambda d: d["governing"].update(revision="D")) == [
        "procedure: governing revision changed from 'C' to 'D'"
    ]


@settings(max_examples=60, deadline=None)
@given(st.permutations(range(10)))
def test_reordering_only_ever_moves(order: list[int]) -> None:
    before = sound()
    after = before.model_copy(update={"steps": tuple(before.steps[i] for i in order)})
    changes = compare(before, after)
    assert all(c.kind == "moved" for c in changes)
    assert bool(changes) == (order != sorted(order))
    assert len({c.subject for c in changes}) < len(order)
