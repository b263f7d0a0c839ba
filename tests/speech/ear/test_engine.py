"""The engine behind the protocols, with an acoustic model that is played by a table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np
import pytest

from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.language.policy import Policy
from assistant.language.trust import Act, Ask, understand
from assistant.speech.ear.engine import EarEngine
from assistant.speech.ear.features import Matrix
from assistant.speech.endpoint import Endpointer
from assistant.speech.errors import SpeechError
from assistant.speech.speculative import SpeculativeFollower, SpeculativeRecogniser
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance
from tests.speech.ear.posteriors import QUIET, spoken

LANGUAGE = Language.load("en-US")
SOUNDS = LANGUAGE.pronunciations


class Played:
    """Answers any sound with the posteriors of ``text``; counts how often it is asked."""

    def __init__(self, text: str = "", after: int = QUIET) -> None:
        self.text = text
        self.after = after
        self.asked: list[int] = []

    def __call__(self, samples: Samples) -> Matrix:
        self.asked.append(len(samples))
        return spoken(self.text, SOUNDS, sure=0.99, after=self.after)


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


def test_talk_is_nothing_that_was_heard() -> None:
    engine = EarEngine(Played("could you hand me that long ladder"), SOUNDS)
    listening(engine, "doing")
    assert engine.recognise(utterance()).hypotheses == ()


def test_a_value_in_cut_off_sound_is_asked_about() -> None:
    engine = EarEngine(Played("reading sixteen newton meters"), SOUNDS)
    listening(engine, "torque")
    whole = utterance()
    cut = np.clip(whole.samples.astype(np.int32) * 4, -32_768, 32_767).astype(np.int16)
    loud = Utterance(cut, whole.start_s, whole.end_s, whole.spoken)
    assert engine.recognise(whole).hypotheses[0].confidence >= Policy.sure
    assert Policy.advance <= engine.recognise(loud).hypotheses[0].confidence < Policy.sure


def test_a_value_that_may_lack_its_end_is_asked_about() -> None:
    engine = EarEngine(Played("reading sixteen newton meters"), SOUNDS)
    listening(engine, "torque")
    decided = understand(
        Policy(), LANGUAGE, STATES["torque"], engine.recognise(replace(utterance(), cut=True))
    )
    assert isinstance(decided, Ask)
    assert decided.why == "unsure"


def test_what_was_done_in_the_pause_is_not_done_again() -> None:
    acoustics = Played("go on")
    engine = EarEngine(acoustics, SOUNDS)
    assert isinstance(engine, SpeculativeRecogniser)
    listening(engine, "doing")
    engine.begin()
    paused = utterance(seconds=1.4)
    engine.anticipate(paused)
    assert engine.so_far() == "go on"
    assert engine.recognise(utterance(seconds=2.0)).hypotheses[0].text == "go on"
    assert len(acoustics.asked) == 2  # both looks
    # The next utterance is another sound, though it is as long.
    engine.recognise(utterance(seconds=2.0))
    assert len(acoustics.asked) == 4


class Wavering:
    """Hears one text at first and another in what is played faster."""

    def __init__(self, first: str, faster: str) -> None:
        self._texts = first, faster
        self._longest = 0

    def __call__(self, samples: Samples) -> Matrix:
        self._longest = max(self._longest, len(samples))
        return spoken(self._texts[len(samples) < self._longest], SOUNDS, sure=0.8)


def test_what_a_second_look_hears_otherwise_leads_by_nothing() -> None:
    engine = EarEngine(Wavering("reading three thou", "reading two thou"), SOUNDS)
    listening(engine, "runout")
    found = engine.recognise(utterance())
    assert found.hypotheses[0].text == "reading three thou"
    assert {h.text: h.behind for h in found.hypotheses}["reading two thou"] == 0.0
    decided = understand(Policy(), LANGUAGE, STATES["runout"], found)
    assert isinstance(decided, Ask)


def test_a_second_look_takes_no_lead_from_what_it_hears_as_well() -> None:
    engine = EarEngine(Played("reading three thou"), SOUNDS)
    listening(engine, "runout")
    found = engine.recognise(utterance())
    assert isinstance(understand(Policy(), LANGUAGE, STATES["runout"], found), Act)


def test_while_the_speaker_goes_on_it_looks_once() -> None:
    acoustics = Played("go on")
    engine = EarEngine(acoustics, SOUNDS)
    listening(engine, "doing")
    engine.anticipate(utterance(seconds=1.2, spoken=1.2))
    assert len(acoustics.asked) == 1


def test_another_grammar_after_the_pause_is_heeded() -> None:
    acoustics = Played("go on")
    engine = EarEngine(acoustics, SOUNDS)
    listening(engine, "doing")
    engine.anticipate(utterance())
    listening(engine, "digits")
    assert "go on" not in [h.text for h in engine.recognise(utterance()).hypotheses]


def test_an_utterance_begins_with_nothing_heard() -> None:
    engine = EarEngine(Played("go on"), SOUNDS)
    listening(engine, "doing")
    engine.anticipate(utterance())
    engine.begin()
    assert engine.so_far() == ""


def test_in_a_session_it_works_while_the_quiet_lasts() -> None:
    """Noise that the detector takes for a voice, then quiet: two looks, a short wait."""
    acoustics = Played("go on")
    engine = EarEngine(acoustics, SOUNDS)
    listening(engine, "doing")
    follower = SpeculativeFollower(engine)
    follower.grammar(LANGUAGE.jsgf(STATES["doing"]))
    rng = np.random.default_rng(1)
    voiced = rng.normal(0, 6000, SAMPLE_RATE).astype(np.int16)
    (heard,) = Endpointer(follower=follower).feed(
        np.concatenate((voiced, np.zeros(2 * SAMPLE_RATE, np.int16)))
    )
    assert len(acoustics.asked) == 2
    # "Go on" is a whole command after which nothing can follow: the shortest quiet ends it.
    assert heard.spoken is not None
    assert len(heard.samples) - heard.spoken == pytest.approx(0.36 * SAMPLE_RATE, abs=500)
    assert engine.recognise(heard).hypotheses[0].text == "go on"
    assert len(acoustics.asked) == 2


def endless(engine: EarEngine, seconds: float) -> list[Utterance]:
    """What the endpointer makes of ``seconds`` of noise that the detector takes for a voice."""
    return list(machine(engine, seconds, "doing"))


def machine(engine: EarEngine, seconds: float, state: str) -> Iterator[Utterance]:
    """The same, one by one."""
    listening(engine, state)
    follower = SpeculativeFollower(engine)
    follower.grammar(LANGUAGE.jsgf(STATES[state]))
    noise = np.random.default_rng(1).normal(0, 6000, round(seconds * SAMPLE_RATE))
    return Endpointer(follower=follower).follow(noise.astype(np.int16))


def test_a_command_is_answered_though_a_machine_goes_on() -> None:
    engine = EarEngine(Played("go on", after=20), SOUNDS)  # 0.4 s of nothing said after it
    found = endless(engine, 5.0)
    assert 1.8 <= len(found[0].samples) / SAMPLE_RATE <= 1.9
    assert engine.recognise(found[0]).hypotheses[0].text == "go on"


class Said:
    """Whoever speaks says each text up to its second; then a machine goes on alone."""

    def __init__(self, *texts: tuple[str, float]) -> None:
        self._texts = texts
        self.asked: list[int] = []

    def __call__(self, samples: Samples) -> Matrix:
        self.asked.append(len(samples))
        seconds = len(samples) / SAMPLE_RATE
        text, until = max((t for t in self._texts if t[1] <= seconds), key=lambda t: t[1])
        return spoken(text, SOUNDS, sure=0.99, after=round((seconds - until) / 0.02))


def test_though_a_machine_goes_on_the_answer_is_ready_at_the_endpoint() -> None:
    acoustics = Said(("go on", 1.6))
    engine = EarEngine(acoustics, SOUNDS)
    heard = next(machine(engine, 5.0, "doing"))
    assert len(heard.samples) / SAMPLE_RATE < 1.6 + 0.36 + 0.1
    assert len(heard.voiced_part) / SAMPLE_RATE == pytest.approx(1.8)  # when the pause was seen
    looks = list(acoustics.asked)
    answer = engine.recognise(heard)
    assert answer.hypotheses[0].text == "go on"
    assert acoustics.asked == looks
    fresh = EarEngine(Said(("go on", 1.6)), SOUNDS)
    listening(fresh, "doing")
    assert fresh.recognise(heard) == answer


def test_what_is_said_after_a_pause_in_noise_is_of_the_answer() -> None:
    engine = EarEngine(Said(("reading three", 1.5), ("reading three point five", 2.4)), SOUNDS)
    heard = next(machine(engine, 5.0, "runout"))
    assert engine.recognise(heard).hypotheses[0].text == "reading three point five"


class Later:
    """Hears one text up to the pause, and another when there is more sound."""

    def __call__(self, samples: Samples) -> Matrix:
        more = len(samples) > 1.8 * SAMPLE_RATE
        return spoken(f"reading {'two' if more else 'three'} thou", SOUNDS, sure=0.99)


def test_what_more_sound_of_a_machine_makes_doubtful_leads_by_nothing() -> None:
    engine = EarEngine(Later(), SOUNDS)
    listening(engine, "runout")
    quiet = utterance(seconds=2.2, spoken=1.6)
    assert isinstance(
        understand(Policy(), LANGUAGE, STATES["runout"], engine.recognise(quiet)), Act
    )
    noisy = engine.recognise(replace(quiet, noisy=True))
    assert isinstance(understand(Policy(), LANGUAGE, STATES["runout"], noisy), Ask)


def test_nobody_is_cut_short_by_a_machine() -> None:
    """Too little quiet yet after a whole command, and after half a phrase that must go on."""
    for text, after in (("go on", 15), ("read the", 35)):
        engine = EarEngine(Played(text, after=after), SOUNDS)
        assert endless(engine, 5.0) == []


def test_a_machine_alone_is_let_go_of() -> None:
    acoustics = Played("")
    engine = EarEngine(acoustics, SOUNDS)
    assert endless(engine, 30.0) == []
    assert max(acoustics.asked) <= 1.9 * SAMPLE_RATE  # else it would be worked on for 12 s


def test_it_must_be_given_a_grammar_that_can_be_read() -> None:
    engine = EarEngine(Played("go on"), SOUNDS)
    with pytest.raises(SpeechError, match="no grammar"):
        engine.recognise(utterance())
    with pytest.raises(SpeechError, match="cannot read"):
        engine.listen_for("public <x> = ;", ())
