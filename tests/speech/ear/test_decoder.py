"""The decoder under the grammars of real states, on posteriors made of pronunciations."""

from __future__ import annotations

import random

import numpy as np
import pytest

from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.language.automaton import automaton_of
from assistant.language.spec import ListenSpec, Meaning
from assistant.speech.ear.decoder import Decoded, decode
from assistant.speech.ear.features import Matrix
from assistant.speech.ear.graph import graph_of
from assistant.speech.ear.likelihood import log_likelihoods
from assistant.speech.ear.paths import best_beginning
from assistant.speech.ear.posteriors import LABELS
from assistant.speech.ear.viterbi import Trellis, trellis
from assistant.speech.errors import SpeechError
from tests.speech.ear.posteriors import QUIET, frames, spoken

LANGUAGE = Language.load("en-US")
SOUNDS = LANGUAGE.pronunciations


def found(state: str, posteriors: Matrix) -> Trellis:
    return trellis(graph_of(automaton_of(LANGUAGE.jsgf(STATES[state])), SOUNDS), posteriors)


def heard(state: str, posteriors: Matrix) -> Decoded:
    return decode(found(state, posteriors), SOUNDS)


def meanings(spec: ListenSpec, phrases: list[str]) -> set[tuple[Meaning, ...]]:
    return {LANGUAGE.interpret(spec, phrase) for phrase in phrases}


def texts(decoded: Decoded) -> list[str]:
    return [" ".join(path.text) for path, _ in decoded.phrases]


@pytest.mark.parametrize("state", STATES)
def test_whatever_a_state_allows_is_heard(state: str) -> None:
    rng = random.Random(7)
    for seed in range(12):
        text = LANGUAGE.sample(STATES[state], rng)
        followed = found(state, spoken(text, SOUNDS, seed, sure=0.998))
        decoded = decode(followed, SOUNDS)
        best = texts(decoded)[0]
        # Words that sound the same ("two", "to") are settled by the grammar, or mean the same.
        same = LANGUAGE.interpret(STATES[state], best) == LANGUAGE.interpret(STATES[state], text)
        assert same, (text, best)
        assert decoded.confidence > 0.9
        assert " ".join(best_beginning(followed)) == best


def test_the_likeliest_phrases_of_all_are_compared() -> None:
    """Every phrase of up to three words is worked out one by one; the nearest are in the list."""
    spec = STATES["digits"]
    everything = [tuple(text.split()) for text in LANGUAGE.enumerate(spec, 3)]
    rng = random.Random(3)
    for seed in range(6):
        said = rng.choice(everything)
        posteriors = spoken(" ".join(said), SOUNDS, seed, sure=0.7)
        nats = np.array(log_likelihoods(everything, posteriors, SOUNDS))
        found = texts(heard("digits", posteriors))
        order = np.argsort(-nats)[:3]
        near = [" ".join(everything[i]) for i in order if nats[order[0]] - nats[i] < 9.0]
        # of two that mean the same ("nine", "niner") one is enough
        assert meanings(spec, near) <= meanings(spec, found), (said, near, found)


def test_a_lead_is_a_likelihood_ratio() -> None:
    """ "Eighty" whose end may be that of "eight": the lead is the odds of the frame in doubt."""
    posteriors = spoken("reading eighty", SOUNDS, sure=0.999)
    phones = len(SOUNDS["reading"][0]) + len(SOUNDS["eighty"][0])
    doubtful = QUIET + (phones - 1) * 3  # the frame of the -y
    chances = np.full(len(LABELS) + 1, 1e-9)
    chances[LABELS["IY0"]], chances[0] = 0.8, 0.2
    posteriors[doubtful] = np.log(chances / chances.sum())
    decoded = heard("torque", posteriors)
    by_text = dict(zip(texts(decoded), (n for _, n in decoded.phrases), strict=True))
    lead = by_text["reading eighty"] - by_text["reading eight"]
    assert lead == pytest.approx(np.log(0.8 / 0.2), abs=0.3)


@pytest.mark.parametrize("said", ["sixteen", "sixty"])
def test_a_consonant_said_once_for_two_is_told_by_the_vowel_before_it(said: str) -> None:
    """The second N of "sixteen newton" is never said; stress alone settles which number it was."""
    posteriors = spoken(f"reading {said} newton meters", SOUNDS, sure=0.999)
    if said == "sixteen":
        n = len(SOUNDS["reading"][0]) + len(SOUNDS["sixteen"][0]) - 1
        posteriors = np.delete(posteriors, slice(QUIET + 3 * n, QUIET + 3 * n + 3), axis=0)
    decoded = heard("torque", posteriors)
    assert texts(decoded)[0] == f"reading {said} newton meters"
    assert decoded.confidence > 0.9


def test_a_vowel_is_not_said_once_for_two() -> None:
    """Else "zero" would be "zero oh" as well."""
    decoded = heard("digits", spoken("nine zero", SOUNDS, sure=0.998))
    likely = [text for text, (_, n) in zip(texts(decoded), decoded.phrases, strict=True) if n > -3]
    assert likely == ["nine zero"]


def test_words_are_timed() -> None:
    decoded = heard("doing", spoken("go on", SOUNDS))
    (go, on) = decoded.phrases[0][0].words
    assert (go.word, on.word) == ("go", "on")
    # Three frames a phone: G OW, then AA (or AO) N.
    assert (go.first, go.last) == (QUIET, QUIET + 3)
    assert (on.first, on.last) == (QUIET + 6, QUIET + 9)


def test_half_a_phrase_is_a_beginning() -> None:
    followed = found("journal", spoken("reading forty point", SOUNDS))
    assert " ".join(best_beginning(followed)) == "reading forty point"


@pytest.mark.parametrize(
    "said",
    [
        "the delivery van comes on thursday and they still owe us money",
        "my sister says the river is higher than it has been for years",
        "could you hand me that ladder",
    ],
)
@pytest.mark.parametrize("state", ["doing", "torque", "digits", "yes_no"])
def test_other_talk_is_not_of_the_grammar(state: str, said: str) -> None:
    decoded = heard(state, spoken(said, SOUNDS))
    assert decoded.confidence < 0.1


def test_quiet_is_nothing_that_was_said() -> None:
    decoded = heard("doing", frames([0] * 80, sure=0.999))
    assert decoded.confidence < 0.05


def test_sound_too_short_for_any_phrase() -> None:
    for count in (0, 1, 2):
        assert heard("doing", frames([0] * count)).phrases == ()


def test_a_word_without_phones_is_named() -> None:
    phrases = automaton_of("#JSGF V1.0; grammar g; public <g> = go | zyxxy;")
    with pytest.raises(SpeechError, match="'zyxxy' sounds"):
        graph_of(phrases, SOUNDS)
    with pytest.raises(SpeechError, match="QQ"):
        graph_of(phrases, {"go": (("G", "OW"),), "zyxxy": (("QQ",),)})
