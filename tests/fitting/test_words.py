"""The phrases of the check are what a session understands, and cover what they are meant to."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.dialogue.commands import ANYTIME
from assistant.fitting.errors import FittingError
from assistant.fitting.words import load_words
from assistant.language import Language

LANGUAGE = Language.load("en-US")
WORDS = load_words(LANGUAGE, "en-US")


def test_every_digit_and_the_pairs_of_teen_and_ty_are_asked_for() -> None:
    spoken = " ".join(a.text for a in WORDS.asked if a.kind == "number").split()
    assert {"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"} <= set(
        spoken
    )
    assert {"nineteen", "ninety", "fifteen", "seventeen"} <= set(spoken)


def test_commands_that_move_the_work_and_end_it_are_asked_for_by_all_their_phrases() -> None:
    asked = {a.text for a in WORDS.asked}
    for command in ("go_on", "done", "confirm", "wrong", "stop_work"):
        assert set(LANGUAGE.phrases_for(command)) <= asked
    assert {"stop_work", "take_note", "where_am_i"} <= set(ANYTIME)


def test_a_phrase_that_its_state_does_not_know_is_named_with_file_and_entry(tmp_path: Path) -> None:
    (tmp_path / "fitting.yaml").write_text(
        "asked:\n- {state: doing, command: go_on}\n- {state: doing, number: nine zero}\n", "utf-8"
    )
    with pytest.raises(FittingError, match=r"fitting.yaml: Entry 2, 'nine zero'"):
        load_words(LANGUAGE, "en-US", tmp_path)


@pytest.mark.parametrize("state", ["", "nowhere"])
def test_a_state_that_is_none_is_named(tmp_path: Path, state: str) -> None:
    text = f"asked:\n- {{state: '{state}', command: go_on}}\n"
    (tmp_path / "fitting.yaml").write_text(text, "utf-8")
    with pytest.raises(FittingError, match="Entry 1 has no state of runout"):
        load_words(LANGUAGE, "en-US", tmp_path)


def test_a_language_without_a_check_says_where_its_phrases_belong(tmp_path: Path) -> None:
    with pytest.raises(FittingError, match="no voice check for the language ko-KR"):
        load_words(LANGUAGE, "ko-KR", tmp_path)
