"""Two listeners beside each other: who is asked when, and that a value needs both of them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from assistant.language import Language
from assistant.language.hypothesis import Hypothesis, Recognition, Weighed, Word
from assistant.language.spec import ListenSpec, NumberSpec
from assistant.speech.two_listeners import Policy, TwoListeners
from assistant.speech.types import PAUSE, SAMPLE_RATE, Utterance
from assistant.speech.vouching import SECOND

LANGUAGE = Language.load("en-US")
SPEC = ListenSpec(("go_on", "correction", "go_back"), NumberSpec(("N*m",), 0))
SOUND = Utterance(np.zeros(SAMPLE_RATE, np.int16), 0.0, 1.0)
NINETY = "reading ninety newton meters"
NINETEEN = "reading nineteen newton meters"


def heard(*texts: str, confidence: float = 0.9) -> Recognition:
    return Recognition(
        tuple(
            Hypothesis(tuple(Word(w) for w in text.split()), confidence if i == 0 else 0.0)
            for i, text in enumerate(texts)
        ),
        "first",
    )


class Fixed:
    """Answers the same to everything and notes what it was asked."""

    name = "fixed"

    def __init__(self, answer: Recognition, nats: dict[str, float] | None = None) -> None:
        self.answer = answer
        self.nats = nats or {}
        self.asked: list[Utterance] = []
        self.compared: list[str] = []
        self.grammar = ""
        self.beside: dict[str, list[Weighed]] = {}

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        self.grammar = jsgf

    def recognise(self, utterance: Utterance) -> Recognition:
        self.asked.append(utterance)
        return self.answer

    def weigh(self, utterance: Utterance, texts: Sequence[str]) -> list[float]:
        self.compared += texts
        return [self.nats.get(t, -50.0) for t in texts]

    def numbers_beside(self, text: str) -> list[Weighed]:
        return self.beside.get(text, [])


def listening(first: Fixed, second: Fixed, policy: Policy = "weigh") -> TwoListeners:
    both = TwoListeners(first, second, policy, LANGUAGE.pronunciations)
    both.listen_for(LANGUAGE.jsgf(SPEC), LANGUAGE.words(SPEC))
    return both


@pytest.mark.parametrize("policy", ["alone", "confirm", "commands", "weigh"])
def test_what_the_first_rejected_stays_rejected_whatever_the_second_wrote(policy: Policy) -> None:
    first, second = Fixed(heard()), Fixed(heard(NINETY), {NINETY: 0.0})
    result = listening(first, second, policy).recognise(SOUND)
    assert first.grammar == second.grammar == LANGUAGE.jsgf(SPEC)
    assert result.hypotheses == ()
    assert result.second is None
    assert second.asked == []


@pytest.mark.parametrize("policy", ["alone", "confirm", "commands", "weigh"])
def test_the_second_never_makes_a_value_of_what_the_first_heard_as_a_command(
    policy: Policy,
) -> None:
    second = Fixed(heard(NINETY), {NINETY: -0.1, "go on": -9.0})
    result = listening(Fixed(heard("go on")), second, policy).recognise(SOUND)
    assert [h.text for h in result.hypotheses] == ["go on"]


@pytest.mark.parametrize("policy", ["alone", "confirm", "commands", "weigh"])
def test_the_second_never_makes_a_command_of_what_the_first_heard_as_a_value(
    policy: Policy,
) -> None:
    second = Fixed(heard("go on"), {NINETY: -9.0, "go on": -0.1})
    result = listening(Fixed(heard(NINETY)), second, policy).recognise(SOUND)
    assert [h.text for h in result.hypotheses] == [NINETY]
    if policy != "alone":
        assert result.second == "go on"  # so that the dialogue asks for the digits


@pytest.mark.parametrize(
    ("policy", "second"),
    [("alone", None), ("confirm", "reading 19"), ("commands", "reading 19"), ("weigh", NINETY)],
)
def test_each_policy_fills_the_second_text(policy: Policy, second: str | None) -> None:
    listener = Fixed(heard("reading 19"), {NINETY: -2.0, NINETEEN: -11.0})
    result = listening(Fixed(heard(NINETY)), listener, policy).recognise(SOUND)
    assert result.second == second
    assert result.engine == "fixed+fixed"
    assert result.hypotheses[0].text == NINETY


def test_every_sound_alike_of_a_value_in_the_grammar_is_compared_with_the_sound() -> None:
    """Sound-alikes by the same pronunciations, after the CMU dictionary, as the dialogue's."""
    second = Fixed(heard("reading 90 newton meters"), {NINETY: -1.0})
    result = listening(Fixed(heard(NINETY)), second).recognise(SOUND)
    close = [phrase for phrase, _ in LANGUAGE.confusable(SPEC, NINETY)]
    assert NINETEEN in close
    assert set(close) <= {w.text for w in result.weighed}
    assert all(LANGUAGE.interpret(SPEC, text) for text in second.compared)


def test_another_number_that_seemed_likely_to_the_second_raises_doubt() -> None:
    eighty = "reading eighty newton meters"
    second = Fixed(heard("reading 90 newton meters"), {NINETY: -1.0, eighty: -2.5})
    second.beside[NINETY] = [
        Weighed("reading 80 newton meters", -2.0),
        Weighed("reading 19 newton meters", -0.1),  # compared already, by its sound
        Weighed("reading 90.5 newton meters", -0.1),  # finer than the step allows
    ]
    result = listening(Fixed(heard(NINETY)), second).recognise(SOUND)
    assert result.hypotheses[0].text == NINETY
    assert result.second == eighty
    # Weighed as a whole, not as it seemed.
    assert Weighed(eighty, SECOND * -2.5) in result.weighed
    assert not {-0.1, -2.0} & {w.nats for w in result.weighed}


def test_what_was_begun_in_a_pause_is_used_when_nothing_more_was_said() -> None:
    second = Fixed(heard("reading 90 newton meters"), {NINETY: -1.0})
    both = listening(Fixed(heard(NINETY)), second)
    said = np.ones(SAMPLE_RATE, np.int16)

    def so_far(quiet: int) -> Utterance:
        samples = np.concatenate((said, np.zeros(quiet, np.int16)))
        return Utterance(samples, 2.0, 2.0 + len(samples) / SAMPLE_RATE, spoken=len(said))

    both.anticipate(so_far(PAUSE))
    ahead = both.recognise(so_far(2 * PAUSE))
    assert len(second.asked) == 1
    plain = listening(Fixed(heard(NINETY)), Fixed(second.answer, second.nats))
    assert plain.recognise(so_far(2 * PAUSE)) == ahead


def test_what_was_begun_is_dropped_when_more_was_said_or_the_grammar_changed() -> None:
    second = Fixed(heard("reading 90 newton meters"), {NINETY: -1.0})
    both = listening(Fixed(heard(NINETY)), second)
    short = Utterance(np.ones(8000, np.int16), 0.0, 0.5, spoken=4000)
    longer = Utterance(np.ones(16000, np.int16), 0.0, 1.0, spoken=12000)
    both.anticipate(short)
    both.recognise(longer)
    assert second.asked[-1] is longer
    both.anticipate(short)
    both.listen_for(LANGUAGE.jsgf(SPEC), LANGUAGE.words(SPEC))
    count = len(second.asked)
    both.recognise(short)
    assert len(second.asked) == count + 1


def test_only_the_sound_up_to_shortly_after_the_last_voice_is_attended() -> None:
    samples = np.arange(16000, dtype=np.int16)
    assert len(Utterance(samples, 0.0, 1.0).attended) == 16000
    assert len(Utterance(samples, 0.0, 1.0, spoken=8000).attended) == 8000 + PAUSE
    assert len(Utterance(samples, 0.0, 1.0, spoken=15900).attended) == 16000
