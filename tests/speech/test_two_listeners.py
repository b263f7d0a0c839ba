"""What two listeners make of an utterance: agree, doubt, weigh; and who is asked when."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.speech.two_listeners import (
    MARGIN,
    Policy,
    SoundAlikes,
    TwoListeners,
    candidates,
    commands_settled,
    confirmed,
    weighed,
)
from assistant.speech.types import Utterance

SOUND = Utterance(np.zeros(16000, np.int16), 0.0, 1.0)
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
    """Answers the same to everything and counts how often it is asked."""

    name = "fixed"

    def __init__(self, answer: Recognition, nats: dict[str, float] | None = None) -> None:
        self.answer = answer
        self.nats = nats or {}
        self.asked = 0
        self.grammar = ""

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        self.grammar = jsgf

    def recognise(self, utterance: Utterance) -> Recognition:
        self.asked += 1
        return self.answer

    def weigh(self, utterance: Utterance, texts: Sequence[str]) -> list[float]:
        return [self.nats.get(t, -50.0) for t in texts]


def test_agreement_in_words_or_figures_adds_trust() -> None:
    sure = confirmed(heard(NINETY, confidence=0.7), "reading 90 newton meters")
    assert sure.second == "reading 90 newton meters"
    assert sure.hypotheses[0].confidence > 0.9
    assert confirmed(heard(NINETY, confidence=0.7), "reading 19 newton meters").hypotheses[
        0
    ].confidence == pytest.approx(0.7)


def test_a_command_among_the_candidates_is_settled_but_a_value_never() -> None:
    settled = commands_settled(heard("go back", "go on"), "go on")
    assert [h.text for h in settled.hypotheses] == ["go on", "go back"]
    value = commands_settled(heard(NINETEEN, NINETY), "reading 90 newton meters")
    assert value.hypotheses[0].text == NINETEEN
    assert value.second == "reading 90 newton meters"


def test_a_clear_lead_of_the_first_ones_best_vouches_for_it() -> None:
    result = weighed(heard(NINETY), "", [NINETY, NINETEEN], [-3.0, -3.0 - MARGIN])
    assert result.second == NINETY


def test_a_narrow_lead_leaves_the_other_text_standing() -> None:
    result = weighed(heard(NINETY), "", [NINETY, NINETEEN], [-3.0, -2.9 - MARGIN])
    assert result.hypotheses[0].text == NINETY
    assert result.second == NINETEEN


def test_a_clear_lead_of_another_candidate_is_asked_about() -> None:
    result = weighed(heard(NINETEEN, NINETY), "", [NINETEEN, NINETY], [-9.5, -3.0])
    assert result.hypotheses[0].text == NINETY
    assert result.second == NINETY
    assert result.hypotheses[0].confidence < 0.8  # the dialogue asks for digits below this


def test_a_likelier_text_that_the_first_did_not_hear_only_raises_doubt() -> None:
    result = weighed(heard(NINETEEN), "", [NINETEEN, NINETY], [-9.5, -3.0])
    assert result.hypotheses[0].text == NINETEEN
    assert result.second == NINETY


def test_what_sounds_like_no_candidate_at_all_is_rejected() -> None:
    result = weighed(
        heard("louder", "help"), "", ["louder", "help", "nobody"], [-18.0, -14.0, -2.0]
    )
    assert result.hypotheses == ()
    assert weighed(heard("louder"), "", ["louder"], [-4.0]).hypotheses[0].text == "louder"
    written = weighed(heard("repeat that"), "repeat that", ["repeat that"], [-20.0])
    assert written.hypotheses[0].text == "repeat that"


def test_candidates_hold_each_number_once_and_keep_the_shape() -> None:
    near = ["reading nine hundred newton meters", "listening nineteen newton meters"]
    found = candidates(heard(NINETEEN, NINETY), "reading 19 newton meters", lambda _: near)
    assert found == [NINETEEN, NINETY, near[0]]
    assert candidates(heard(), "reading 90 newton meters", lambda _: []) == []


def test_the_transcript_is_weighed_unless_it_only_took_the_unit_for_decimals() -> None:
    best = "reading eleven point two thou"
    for same in ("reading 11.23", "reading 11.2.5"):
        assert candidates(heard(best), same, lambda _: []) == [best]
    for other in ("reading 12.23", "reading 11", "reading 11.2 inches", "reading 111.2"):
        assert candidates(heard(best), other, lambda _: []) == [best, other]
    assert candidates(heard("reading two"), "reading 0.5 thou", lambda _: []) == [
        "reading two",
        "reading 0.5 thou",
    ]


def test_sound_alikes_come_from_the_pronouncing_dictionary() -> None:
    """Pronunciations after the CMU dictionary, which the bundled recogniser ships."""
    sounds = {
        "nineteen": (("N", "AY", "N", "T", "IY", "N"),),
        "ninety": (("N", "AY", "N", "T", "IY"),),
        "go": (("G", "OW"),),
    }
    assert "reading ninety" in SoundAlikes(sounds).of("reading nineteen", tuple(sounds))
    assert "reading go" not in SoundAlikes(sounds).of("reading nineteen", tuple(sounds))


def test_the_second_listener_is_not_asked_about_what_the_first_rejected() -> None:
    first, second = Fixed(heard()), Fixed(heard("reading 16"))
    both = TwoListeners(first, second)
    both.listen_for("grammar", ("reading",))
    result = both.recognise(SOUND)
    assert (first.grammar, second.grammar) == ("grammar", "grammar")
    assert result.hypotheses == ()
    assert result.second is None
    assert second.asked == 0


@pytest.mark.parametrize(
    ("policy", "second"),
    [("alone", None), ("confirm", "reading 19"), ("commands", "reading 19"), ("weigh", NINETY)],
)
def test_each_policy_fills_the_second_text(policy: Policy, second: str | None) -> None:
    listener = Fixed(heard("reading 19"), {NINETY: -2.0, NINETEEN: -9.0})
    both = TwoListeners(Fixed(heard(NINETY)), listener, policy)
    both.listen_for("grammar", ())
    result = both.recognise(SOUND)
    assert result.second == second
    assert result.engine == "fixed+fixed"
    assert result.hypotheses[0].text == NINETY
