"""A state comes back from its text as it was; a text of anything else is refused."""

from __future__ import annotations

import json
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest

from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.state import KeptNote, State, Value
from assistant.dialogue.states import Noting, Skipping, Stopping
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import Judgement
from assistant.session.state_text import from_plain, to_plain

READING = Indication("eq", Amount(Fraction(7, 5), "thou", Fraction(1, 10)))
STATE = State(
    awaiting=Stopping(Noting(Skipping(Measuring(2, (READING, READING))))),
    values={"bore": {"b": Value(READING, Judgement("in"), "digits"), "a": Value(READING,
            Judgement("out", Amount(Fraction(1, 3), "mm"), "lower"), "readback")}},
    broken=frozenset({"microphone", "voice"}),
    kept=KeptNote("bore", None),
    last_said=("One.", "Two."),
)  # fmt: skip


def text(state: State) -> Any:
    return json.loads(json.dumps(to_plain(state)))


def test_it_comes_back_as_it_was_and_in_order() -> None:
    again = from_plain(text(STATE))
    assert again == STATE
    assert list(again.values["bore"]) == ["b", "a"]
    assert isinstance(again.broken, frozenset)
    assert isinstance(again.last_said, tuple)


def test_classes_of_a_union_carry_their_names() -> None:
    plain = text(STATE)
    assert plain["kept"]["kind"] == "KeptNote"
    assert plain["awaiting"]["kind"] == "Stopping"
    assert plain["awaiting"]["body"]["back"]["body"]["back"]["kind"] == "Skipping"


@pytest.mark.parametrize(
    "wrong",
    [
        {"job": 7},
        {"opened": 1},
        {"rate_steps": "1"},
        {"people": "Otto"},
        {"kept": {"kind": "Popen", "body": {}}},
        {"kept": {"kind": "State", "body": {}}},
        {"kept": {"body": {}}},
        {"kept": 3},
        {"awaiting": None},
        {"values": {"bore": {"a": {}}}},
        {"derived": {"gap": {"value": [1, 0], "unit": "mm", "resolution": None}}},
        {"derived": {"gap": {"value": [1, 2], "unit": "furlong", "resolution": None}}},
        {"derived": {"gap": {"value": ["x", 2], "unit": "mm", "resolution": None}}},
        {"unheard_of": 1},
    ],
)
def test_another_text_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="Not the text of a state"):
        from_plain({**text(STATE), **wrong})


@pytest.mark.parametrize("other", [None, 3, "state", [], [1]])
def test_what_is_no_state_at_all_is_refused(other: object) -> None:
    with pytest.raises(ValueError, match="Not the text of a state"):
        from_plain(other)


@pytest.mark.parametrize(
    "wrong",
    [{"kept": Fraction(1)}, {"awaiting": READING}, {"job": 1.5}, {"values": {"bore": {"a": 1.5}}},
     {"people": ("Otto",)}],
)  # fmt: skip
def test_a_state_that_holds_something_else_is_not_written(wrong: dict[str, Any]) -> None:
    with pytest.raises(TypeError):
        to_plain(replace(STATE, **wrong))
