"""The engine behind the protocols, with an acoustic model that is played by a table."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.speech.along import Anticipates, HearsAlong
from assistant.speech.ear.engine import EarEngine
from assistant.speech.ear.features import Matrix
from assistant.speech.endpoint import Endpointer
from assistant.speech.errors import SpeechError
from assistant.speech.following import FollowedBy
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance
from tests.speech.ear.posteriors import spoken

LANGUAGE = Language.load("en-US")
SOUNDS = LANGUAGE.pronunciations


class Played:
    """Answers any sound with the posteriors of ``text``; counts how often it is asked."""

    def __init__(self, text: str = "") -> None:
        self.text = text
        self.asked: list[int] = []

    def __call__(self, samples: Samples) -> Matrix:
        self.asked.append(len(samples))
        return spoken(self.text, SOUNDS)


def utterance(seconds: float = 2.0, spoken: float = 1.2, start_s: float = 5.0) -> Utterance:
    count = round(seconds * SAMPLE_RATE)
    samples = np.arange(count).astype(np.int16)
    return Utterance(samples, start_s, start_s + seconds, round(spoken * SAMPLE_RATE))


def listening(engine: EarEngine, state: str) -> None:
    spec = STATES[state]
    engine.listen_for(LANGUAGE.jsgf(spec), LANGUAGE.words(spec))


def test_it_answers_with_words_times_and_leads() -> None:
    engine = EarEngine(Played("reading sixteen newton meters"), SOUNDS)
    listening(engine, "torque")
    found = engine.recognise(utterance(start_s=5.0))
    assert found.engine == "ear"
    best, *others = found.hypotheses
    assert best.text == "reading sixteen newton meters"
    assert best.behind == 0.0
    assert best.confidence > 0.9
    assert 5.1 < best.words[0].start_s < best.words[0].end_s < best.words[1].start_s
    assert [h.behind for h in others] == sorted(h.behind or 0.0 for h in others)
    assert [h.confidence for h in others] == sorted((h.confidence for h in others), reverse=True)
    assert found.beyond is not None
    assert found.beyond >= max(h.behind or 0.0 for h in others) - 1.0


def test_talk_is_heard_with_no_confidence() -> None:
    engine = EarEngine(Played("could you hand me that long ladder"), SOUNDS)
    listening(engine, "doing")
    assert all(h.confidence < 0.1 for h in engine.recognise(utterance()).hypotheses)


def test_what_was_done_in_the_pause_is_not_done_again() -> None:
    acoustics = Played("go on")
    engine = EarEngine(acoustics, SOUNDS)
    assert isinstance(engine, HearsAlong)
    assert isinstance(engine, Anticipates)
    listening(engine, "doing")
    engine.begin()
    paused = utterance(seconds=1.4)
    engine.anticipate(paused)
    assert engine.so_far() == "go on"
    assert engine.recognise(utterance(seconds=2.0)).hypotheses[0].text == "go on"
    assert len(acoustics.asked) == 1
    # The next utterance is another sound, though it is as long.
    engine.recognise(utterance(seconds=2.0))
    assert len(acoustics.asked) == 2


def test_another_grammar_after_the_pause_is_heeded() -> None:
    acoustics = Played("go on")
    engine = EarEngine(acoustics, SOUNDS)
    listening(engine, "doing")
    engine.anticipate(utterance())
    listening(engine, "digits")
    assert engine.recognise(utterance()).hypotheses[0].text != "go on"


def test_an_utterance_begins_with_nothing_heard() -> None:
    engine = EarEngine(Played("go on"), SOUNDS)
    listening(engine, "doing")
    engine.anticipate(utterance())
    engine.begin()
    assert engine.so_far() == ""


def test_in_a_session_it_works_while_the_quiet_lasts() -> None:
    """Noise that the detector takes for a voice, then quiet: one encoding, a short wait."""
    acoustics = Played("go on")
    engine = EarEngine(acoustics, SOUNDS)
    listening(engine, "doing")
    follower = FollowedBy(engine)
    follower.grammar(LANGUAGE.jsgf(STATES["doing"]))
    rng = np.random.default_rng(1)
    voiced = rng.normal(0, 6000, SAMPLE_RATE).astype(np.int16)
    (heard,) = Endpointer(follower=follower).feed(
        np.concatenate((voiced, np.zeros(2 * SAMPLE_RATE, np.int16)))
    )
    assert len(acoustics.asked) == 1
    # "Go on" is a whole command after which nothing can follow: the shortest quiet ends it.
    assert heard.spoken is not None
    assert len(heard.samples) - heard.spoken == pytest.approx(0.36 * SAMPLE_RATE, abs=500)
    assert engine.recognise(heard).hypotheses[0].text == "go on"
    assert len(acoustics.asked) == 1


def test_it_must_be_given_a_grammar_that_can_be_read() -> None:
    engine = EarEngine(Played("go on"), SOUNDS)
    with pytest.raises(SpeechError, match="no grammar"):
        engine.recognise(utterance())
    with pytest.raises(SpeechError, match="cannot read"):
        engine.listen_for("public <x> = ;", ())
