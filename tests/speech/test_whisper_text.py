"""A Whisper model's spelling is brought to the grammar's words, and never to another number."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from num2words import num2words

from assistant.language import Language
from assistant.language.spec import ListenSpec, NumberSpec, Reading
from assistant.speech.whisper_prompt import prompt_from, sentence
from assistant.speech.whisper_text import plain, said_once, snapped
from assistant.speech.written_forms import written_forms
from assistant.speech.written_numbers import in_figures, in_words, ways_to_say

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
        ("0-0-1-5.", "0 0 1 5"),
        ("Reading 1-1/2 thou", "reading 1 1/2 thou"),
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


def test_a_sentence_has_its_capitals() -> None:
    assert sentence("where am i") == "Where am I"
    assert sentence("what is it in") == "What is it in"


@given(st.integers(0, 999_999), st.text("0123456789", max_size=4))
@settings(max_examples=150, deadline=None)
def test_figures_said_in_words_are_the_same_figures(whole: int, decimals: str) -> None:
    """The words of the whole part are those of the independent library num2words."""
    written = f"{whole}.{decimals}" if decimals else str(whole)
    said = in_words(f"reading {written} thou")
    assert in_figures(said) == f"reading {written} thou"
    assert num2words(whole).replace("-", " ").replace(",", "") in said


def test_digits_said_double_or_triple_are_digits() -> None:
    assert in_figures("double zero triple one") == "00111"
    assert in_figures("minus triple o point double two") == "minus 000.22"
    assert in_figures("double bolt") == "double bolt"
    assert in_words("reading .0015 inches") == "reading point zero zero one five inches"
    assert in_words("reading 1/64 inches") == "reading 1/64 inches"


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("90", "nine zero"),
        ("90", "ninety"),
        ("0 0 1 5", "zero zero one five"),
        ("40.015", "four zero point zero one five"),
        ("reading .0015 inches", "reading point zero zero one five inches"),
        ("reading 1/2 thou", "reading half thou"),
        ("reading 0.5 thou", "reading half a thou"),
        ("reading 2 1/2 thou", "reading two and a half thou"),
        ("reading 2.5 thou", "reading two and a half thou"),
        ("reading 3/4 inch", "reading three quarters of a inch"),
        ("reading 5/64 inches", "reading five sixty fourths inches"),
        ("go on", "go on"),
        ("reading 500ths", "reading five hundredths"),
        ("reading 100 and 88 thou", "reading one hundred and eighty eight thou"),
        ("reading 5000ths", "reading five thousandths"),
    ],
)
def test_figures_are_said_in_every_usual_way(written: str, said: str) -> None:
    """Common practice, no source."""
    assert said in ways_to_say(written)


@given(st.integers(0, 9999), st.text("0123456789", max_size=3))
@settings(deadline=None)
def test_every_way_to_say_a_decimal_means_the_same_value(whole: int, decimals: str) -> None:
    """Values by Python's own fractions; the language's grammar reads the words."""
    written = f"{whole}.{decimals}" if decimals else str(whole)
    spec = ListenSpec((), NumberSpec(("thou",), max_decimals=4, high=Fraction(10_000)))
    language = Language.load("en-US")
    for said in ways_to_say(f"reading {written} thou"):
        for meaning in language.interpret(spec, said):
            assert isinstance(meaning, Reading)
            assert meaning.indication.amount.value == Fraction(written)


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("reading two and a half thou", "Reading 2.5 thou"),
        ("reading half a thou", "Reading 0.5 thou"),
        ("reading three quarters of a millimeter", "Reading 0.75 millimeter"),
        ("reading one hundred and eighty eight thou", "Reading 100 and 88 thou"),
        ("reading two hundred and five", "Reading 200 and 5"),
        ("reading five hundredths", "Reading 500ths"),
        ("reading five thousandths", "Reading 5000ths"),
        ("double zero one", "001"),
        ("nine zero", "Nine zero"),
        ("nine zero", "9 0"),
        ("bolt two", "Bolt two"),
        ("where am i", "Where am I"),
    ],
)
def test_a_phrase_is_looked_for_as_the_model_may_write_it(said: str, written: str) -> None:
    """How models of this family write: seen in their transcripts, no source."""
    assert written in written_forms(said)


@given(st.integers(1, 999), st.sampled_from(["thou", "millimeters", "newton meters"]))
@settings(deadline=None)
def test_no_written_form_of_a_number_has_another_number(number: int, unit: str) -> None:
    words = num2words(number).replace("-", " ").replace(",", "")
    for form in written_forms(f"reading {words} {unit}"):
        assert in_figures(form.lower()).split()[1] == str(number)
