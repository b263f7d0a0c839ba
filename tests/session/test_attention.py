"""The attention phrase: nothing gets through uncalled but "stop work"."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from assistant.audio.synthesis import say
from assistant.dialogue.expectation import Expectation
from assistant.language import Language
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.language.spec import Command, ListenSpec, NumberSpec
from assistant.session.attention import CALL, AttentionPolicy, AttentiveInput
from assistant.session.edges import EndOfInput, Sound
from assistant.session.spoken_input import SpokenInput
from assistant.speech.endpoint import heard_or_quiet
from assistant.speech.types import SAMPLE_RATE
from tests.ears import shipped_ear

EN = Language.load("en-US")
PHRASE = EN.phrase_for(CALL)
NOW = Expectation(
    ListenSpec(commands=("done", "stop_work"), reading=NumberSpec(("thou",), 1, None, Fraction(99)))
)
NOTE = Expectation(ListenSpec(), free=True)


@dataclass
class Bench:
    """A scripted source and its clock: (seconds until it is said, what is said, how surely)."""

    script: Sequence[tuple[float, str, float]]
    now: float = 0.0
    calls: list[float] = field(default_factory=list)
    asked: list[ListenSpec] = field(default_factory=list)
    at: int = 0
    waited: float = 0.0

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        """As a recogniser does: what is not of the grammar gives no hypotheses."""
        self.asked.append(expected.spec)
        if self.at >= len(self.script):
            raise EndOfInput
        pause, text, sure = self.script[self.at]
        left = pause - self.waited
        if patience_s is not None and patience_s < left:
            self.now += patience_s
            self.waited += patience_s
            return None
        self.now += left
        self.waited = 0.0
        self.at += 1
        heard = not expected.free and bool(EN.interpret(expected.spec, text))
        words = tuple(Word(w) for w in text.split())
        return Sound(Recognition((Hypothesis(words, sure),) if heard else (), "script"))

    def attentive(self) -> AttentiveInput:
        return AttentiveInput(
            self, EN, lambda: self.calls.append(self.now), elapsed=lambda: self.now
        )

    def passed(self, expected: Expectation = NOW) -> list[str]:
        """Everything that gets through until the script ends."""
        source, found = self.attentive(), []
        try:
            while True:
                sound = source.hear(expected, None)
                if sound is not None:
                    best = sound.recognition.hypotheses
                    found.append(best[0].text if best else "")
        except EndOfInput:
            return found


def test_uncalled_nothing_is_taken() -> None:
    bench = Bench([(1, "step done", 1), (1, "reading two thou", 1), (1, "step done", 1)])
    assert bench.passed() == []
    assert {spec.commands for spec in bench.asked} == {(CALL, "stop_work")}


def test_called_it_takes_what_follows_and_chimes_once() -> None:
    bench = Bench([(1, PHRASE, 1), (2, "reading two thou", 1), (1, "step done", 1)])
    assert bench.passed() == ["reading two thou", "step done"]
    assert bench.calls == [1.0]


def test_called_twice_it_is_not_taken_for_a_command() -> None:
    bench = Bench([(1, PHRASE, 1), (2, PHRASE, 1), (7, "step done", 1)])
    assert bench.passed() == ["step done"]
    assert bench.calls == [1.0, 3.0]


def test_the_window_closes() -> None:
    window = AttentionPolicy().window_s
    bench = Bench([(1, PHRASE, 1), (window + 1, "step done", 1), (1, "step done", 1)])
    assert bench.passed() == []


def test_talk_that_means_nothing_does_not_keep_it_open() -> None:
    chatter = [(2.0, "the river has reached two villages", 1.0)] * 6
    bench = Bench([(1, PHRASE, 1), *chatter, (1, "step done", 1)])
    assert "step done" not in bench.passed()


def test_unsure_hearing_does_not_keep_it_open_either() -> None:
    unsure = [(2.0, "step done", 0.2)] * 6
    bench = Bench([(1, PHRASE, 1), *unsure, (1, "reading two thou", 1)])
    assert "reading two thou" not in bench.passed()


def test_an_answer_taken_opens_the_window_anew() -> None:
    often = [(6.0, "step done", 1.0)] * 5
    assert len(Bench([(1, PHRASE, 1), *often]).passed()) == 5


def test_stop_work_is_always_heard_and_may_be_confirmed() -> None:
    bench = Bench([(5, "stop work", 1), (2, "step done", 1)])
    assert bench.passed() == ["stop work", "step done"]


def test_half_heard_stop_work_is_not_taken_uncalled() -> None:
    assert Bench([(5, "stop work", 0.4)]).passed() == []


@pytest.mark.parametrize("sure", [0.2, 0.69])
def test_a_half_heard_call_is_no_call(sure: float) -> None:
    assert Bench([(1, PHRASE, sure), (1, "step done", 1)]).passed() == []


def test_a_note_is_taken_once_called_and_not_before() -> None:
    talk = (1.0, "the river has reached two villages", 1.0)
    assert Bench([talk, talk]).passed(NOTE) == []
    assert Bench([(1, PHRASE, 1), talk]).passed(NOTE) == [""]


def test_patience_runs_out_while_uncalled() -> None:
    """Waits ring whether or not the builder speaks."""
    bench = Bench([(100, "step done", 1)])
    assert bench.attentive().hear(NOW, 5.0) is None
    assert bench.now == pytest.approx(5.0)


LINES = st.sampled_from([PHRASE, "stop work", "step done", "reading two thou", "nonsense words"])
SCRIPTS = st.lists(st.tuples(st.floats(0.1, 20), LINES, st.floats(0, 1)), max_size=12)


@given(SCRIPTS)
def test_what_passes_was_called_for_or_stops(script: list[tuple[float, str, float]]) -> None:
    """Read off the script alone: the gap since the last thing that opened the window."""
    passed = Bench(script).passed()
    policy = AttentionPolicy()
    allowed, open_for = [], -1.0
    for pause, text, sure in script:
        open_for -= pause
        assume(abs(open_for) > 1e-6)  # the very end of the window may fall on either side
        if text == PHRASE and sure >= policy.trust.unasked:
            open_for = policy.window_s
        elif open_for > 0:
            allowed.append(text)
            known = bool(EN.interpret(NOW.spec, text))
            moves_on = text == "step done"
            if known and sure >= (policy.trust.advance if moves_on else policy.trust.reject):
                open_for = policy.window_s
        elif text == "stop work" and sure >= policy.trust.unasked:
            open_for = policy.window_s
            allowed.append(text)
    assert [t for t in passed if t] == [t for t in allowed if EN.interpret(NOW.spec, t)]


def test_the_phrase_is_long_and_no_other_command_sounds_like_it() -> None:
    """Vowels of the pronouncing dictionary count the syllables (ARPAbet marks vowels alone so)."""
    vowels = "AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW"
    phones = [p for word in PHRASE.split() for p in EN.pronunciations[word][0]]
    assert sum(p in vowels.split() for p in phones) >= 4
    others = {w for c in EN.command_ids if c != CALL for p in EN.phrases_for(c) for w in p.split()}
    assert not others & set(PHRASE.split())
    assert EN.interpret(ListenSpec(commands=(CALL,)), PHRASE) == (Command(CALL),)


# With a real recogniser on real audio --------------------------------------------------------


@pytest.mark.audio
@pytest.mark.parametrize("speaker", ["slt", "rms", "awb"])
def test_a_recorded_bench_is_deaf_until_it_is_called(speaker: str) -> None:
    quiet = np.zeros(SAMPLE_RATE, np.int16)
    lines = ["step done", "the old bridge was painted before the rain", PHRASE, "step done"]
    pieces = [piece for line in lines for piece in (quiet, say(line, speaker))]
    engine = shipped_ear()
    inner = SpokenInput(engine, EN, heard_or_quiet([*pieces, quiet, quiet]))
    calls: list[str] = []
    source = AttentiveInput(inner, EN, lambda: calls.append("called"))
    heard = []
    with suppress(EndOfInput):
        while True:
            sound = source.hear(NOW, None)
            if sound is not None and sound.recognition.hypotheses:
                heard.append((sound.recognition.hypotheses[0].text, len(calls)))
    assert heard == [("step done", 1)]
