"""A path that broke off is completed to whole phrases of the grammar, or to none."""

from __future__ import annotations

import random

from hypothesis import given
from hypothesis import strategies as st

from assistant.language import Language
from assistant.language.automaton import automaton_of
from assistant.language.spec import ListenSpec
from assistant.speech.unfinished import completions

READING = """#JSGF V1.0; grammar r;
public <r> = reading (one | two) [point (one | two)] (thou | millimeters) | go on;"""


def allowed(words: str, *others: str) -> set[str]:
    found = completions(words.split(), others, automaton_of(READING))
    return {" ".join(said) for said in found.endings(0, 6)} if found else set()


def test_the_missing_end_and_wrong_last_words_are_made_good() -> None:
    assert {"reading one point two thou", "reading one point two millimeters"} <= allowed(
        "reading one point two"
    )
    assert "reading one thou" in allowed("reading one point two")  # the last two may be wrong


def test_other_paths_that_are_whole_are_among_the_choices() -> None:
    assert "go on" in allowed("reading one", "go on", "reading two")
    assert "reading two" not in allowed("reading one", "go on", "reading two")


def test_words_that_begin_no_phrase_lead_nowhere() -> None:
    assert allowed("thou thou thou thou") == set()


@given(st.integers(0, 10_000), st.integers(1, 6))
def test_all_that_is_offered_is_a_whole_phrase(seed: int, kept: int) -> None:
    language = Language.load("en-US")
    spec = ListenSpec(("confirm", "wrong", "go_on", "what_limit"), digits=True)
    phrases = automaton_of(language.jsgf(spec))
    words = language.sample(spec, random.Random(seed)).split()[:kept]
    choice = completions(words, (), phrases)
    assert choice is not None  # what begins a phrase can be completed
    offered = list(choice.endings(0, 12))
    assert offered
    assert all(phrases.accepts(said) for said in offered)
