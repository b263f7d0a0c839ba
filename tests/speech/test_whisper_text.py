"""A Whisper model's spelling is brought to the grammar's words, and never to another number."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from num2words import num2words

from assistant.language import Language
from assistant.language.spec import ListenSpec, NumberSpec, Reading
from assistant.speech.whisper_prompt import prompt_from, units_from
from assistant.speech.whisper_text import plain, said_once, snapped
from assistant.speech.written_numbers import in_figures

SPEC = ListenSpec(("go_on", "correction"), NumberSpec(("thou", "in", "mm"), max_decimals=4))


@pytest.mark.parametrize(
    ("written", "text"),
    [
        ("Reading 0.0015 inch.", "reading 0.0015 inch"),
        ("Reading 1/64 inch.", "reading 1/64 inch"),
        ("Reading 150 Newton meters.", "reading 150 newton meters"),
        ("Reading, 14 lb-ft.", "reading 14 pound feet"),
        ("Reading 14 ft-lbs", "reading 14 foot pounds"),
        ("Reading 90 Nm", "reading 90 newton meters"),
        ("Reading 1,200 N·m.", "reading 1200 newton meters"),
        ("Reading 40.015mm.", "reading 40.015 millimeters"),
        ("Go on!", "go on"),
        ("Sixty-four", "sixty four"),
        ("", ""),
    ],
)
def test_written_forms_become_plain(written: str, text: str) -> None:
    assert plain(written) == text


@pytest.mark.parametrize(
    ("written", "value"), [("Reading 1.5 thou.", "3/2"), ("Reading 1/64 inch.", "1/64")]
)
def test_the_grammar_reads_what_the_model_writes(written: str, value: str) -> None:
    meanings = Language.load("en-US").interpret(SPEC, plain(written))
    assert [str(m.indication.amount.value) for m in meanings if isinstance(m, Reading)] == [value]


def test_a_sentence_written_twice_counts_once() -> None:
    assert said_once(" Reading 90 mm. Reading 90 mm.") == "Reading 90 mm."
    assert said_once("Stop. Work now.") == "Stop. Work now."
    assert said_once("") == ""


def test_near_misses_snap_to_words_but_never_to_numbers() -> None:
    words = ("reading", "thou", "nineteen", "ninety", "correction")
    assert snapped("redding 1.5 thow", words) == "reading 1.5 thou"
    assert snapped("ninty nineteenth", words) == "ninty nineteenth"
    assert snapped("rhinoceros", words) == "rhinoceros"


@given(st.integers(0, 99_999))
@settings(max_examples=150, deadline=None)
def test_number_words_become_the_figures_that_num2words_started_from(number: int) -> None:
    """Against the independent library num2words."""
    words = num2words(number).replace("-", " ").replace(",", "")
    assert in_figures(f"reading {words} thou") == f"reading {number} thou"


def test_digits_said_one_by_one_and_after_the_point() -> None:
    assert in_figures("nine zero") == "90"
    assert in_figures("twenty three point zero oh five millimeters") == "23.005 millimeters"
    assert in_figures("point five") == "0.5"
    assert in_figures("one hundred and five and a half") == "105 and a half"


def test_the_prompt_holds_phrases_and_ends_with_the_steps_own_unit() -> None:
    language = Language.load("en-US")
    prompt = prompt_from(language.jsgf(SPEC))
    assert "Go on." in prompt
    assert "Correction." in prompt
    assert prompt.endswith("thou.")
    torque = ListenSpec((), NumberSpec(("N*m", "lbf*ft"), max_decimals=0))
    assert units_from(language.jsgf(torque)) == "Reading 14 pound feet. Reading 1.5 newton meters."
    assert units_from(language.jsgf(ListenSpec(("go_on",)))) == ""
