"""What comes of one listener's answer when another vouches for it or doubts it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.language.hypothesis import Recognition
from assistant.speech.candidates import Candidate, SoundAlikes
from assistant.speech.vouching import (
    FIRST,
    FLOOR,
    MARGIN,
    MOST_BEHIND,
    OWN,
    SECOND,
    TWIN_MARGIN,
    commands_settled,
    confirmed,
    weighed,
)
from tests.speech.test_two_listeners import LANGUAGE, NINETEEN, NINETY, heard

SIXTY = "reading sixty newton meters"
ALIKE = SoundAlikes(LANGUAGE.pronunciations)


def weigh(first: Recognition, written: list[str], nats: dict[str, float]) -> Recognition:
    texts = [Candidate(text) for text in nats]
    return weighed(first, written, texts, list(nats.values()), ALIKE)


def test_agreement_in_words_or_figures_adds_trust() -> None:
    sure = confirmed(heard(NINETY, confidence=0.7), "reading 90 newton meters")
    assert sure.second == "reading 90 newton meters"
    assert sure.hypotheses[0].confidence > 0.9
    other = confirmed(heard(NINETY, confidence=0.7), "reading 19 newton meters")
    assert other.hypotheses[0].confidence == pytest.approx(0.7)


def test_a_command_among_the_candidates_is_settled_but_a_value_never() -> None:
    settled = commands_settled(heard("go back", "go on"), "go on")
    assert [h.text for h in settled.hypotheses] == ["go on", "go back"]
    value = commands_settled(heard(NINETEEN, NINETY), "reading 90 newton meters")
    assert value.hypotheses[0].text == NINETEEN
    assert value.second == "reading 90 newton meters"


def ahead(by: float, confidence: float = 0.9) -> float:
    """Nats of the second that the first's best, heard with ``confidence``, needs to lead so."""
    return (by - OWN * confidence) / SECOND + 1e-9


def test_a_clear_lead_of_the_first_ones_best_vouches_for_it() -> None:
    result = weigh(heard(NINETY), [], {NINETY: -3.0, SIXTY: -3.0 - ahead(MARGIN)})
    assert result.second == NINETY
    assert [w.text for w in result.weighed] == [NINETY, SIXTY]
    assert result.weighed[0].nats - result.weighed[1].nats == pytest.approx(MARGIN)


def test_a_narrow_lead_leaves_the_other_text_standing() -> None:
    result = weigh(heard(NINETY), [], {NINETY: -3.0, SIXTY: -2.9 - ahead(MARGIN)})
    assert result.hypotheses[0].text == NINETY
    assert result.second == SIXTY


def test_a_twin_must_be_led_by_more() -> None:
    texts = [Candidate(NINETY), Candidate(NINETEEN), Candidate(SIXTY)]
    for lead, second in ((MARGIN, NINETEEN), (TWIN_MARGIN, NINETY)):
        nats = [-1.0, -1.0 - ahead(lead), -1.0 - ahead(MARGIN)]
        result = weighed(heard(NINETY), [], texts, nats, ALIKE)
        assert result.second == second


def test_what_the_first_heard_nearly_as_well_must_be_led_by_more() -> None:
    """The first's own likelihoods count, each nat for a little; what it did not hear at all counts
    as far behind."""

    def heard_with(behind: float) -> Recognition:
        first = heard(NINETY, SIXTY)
        behinds = (0.0, behind)
        known = tuple(replace(h, behind=b) for h, b in zip(first.hypotheses, behinds, strict=True))
        return replace(first, hypotheses=known)

    lead = (MARGIN - FIRST * MOST_BEHIND) / SECOND + 1e-9
    nats = {NINETY: -1.0, SIXTY: -1.0 - lead}
    assert weigh(heard_with(MOST_BEHIND * 3), [], nats).second == NINETY
    assert weigh(heard_with(MOST_BEHIND / 2), [], nats).second == SIXTY
    alone = replace(heard_with(0), hypotheses=heard_with(0).hypotheses[:1])
    assert weigh(alone, [], nats).second == NINETY


def test_another_wording_of_the_same_number_is_no_rival() -> None:
    result = weigh(heard(NINETY), [], {NINETY: -1.0, "reading ninety newton meter": -1.5})
    assert result.second == NINETY


def test_a_clear_lead_of_another_value_goes_to_the_front_to_be_asked_about() -> None:
    result = weigh(heard(NINETEEN, NINETY), [], {NINETEEN: -9.5, NINETY: -3.0})
    assert [h.text for h in result.hypotheses] == [NINETY, NINETEEN]
    assert result.hypotheses[0].confidence < 0.8  # the dialogue asks for digits below this


def test_the_same_number_in_better_words_goes_to_the_front_without_doubt() -> None:
    plural, single = NINETY, "reading ninety newton meter"
    result = weigh(heard(single), ["reading 90 newton meters"], {single: -6.0, plural: -1.0})
    assert [h.text for h in result.hypotheses] == [plural, single]
    assert result.hypotheses[0].confidence > 0.9
    assert result.second == plural


def test_a_likelier_value_that_no_listener_wrote_is_asked_about_too() -> None:
    texts = [Candidate(NINETEEN), Candidate(NINETY, written=False)]
    result = weighed(heard(NINETEEN), [], texts, [-9.5, -3.0], ALIKE)
    assert result.hypotheses[0].text == NINETY
    assert result.hypotheses[0].confidence < 0.8


@pytest.mark.parametrize(("best", "other"), [("go back", "go on"), ("bolt one", "bolt two")])
def test_commands_that_the_first_did_not_hear_only_raise_doubt(best: str, other: str) -> None:
    """The dialogue acts on these without a further question."""
    result = weigh(heard(best), [other], {best: -9.5, other: -1.0})
    assert [h.text for h in result.hypotheses] == [best]
    assert result.second == other
    among_its_own = weigh(heard(best, other), [other], {best: -9.5, other: -1.0})
    assert among_its_own.hypotheses[0].text == other


def test_digits_that_the_first_did_not_hear_count_where_they_lead_clearly() -> None:
    """They only ever confirm a value that was heard before."""
    clearly = weigh(heard("four zero"), ["one four"], {"four zero": -12.5, "one four": -1.0})
    assert clearly.hypotheses[0].text == "one four" == clearly.second
    assert clearly.hypotheses[0].confidence > 0.9
    hardly = weigh(heard("four zero"), ["one four"], {"four zero": -5.5, "one four": -1.0})
    assert hardly.hypotheses[0].text == "one four"
    assert hardly.hypotheses[0].confidence < 0.8
    assert hardly.second == "four zero"


def test_a_text_outside_the_grammar_only_raises_doubt() -> None:
    texts = [Candidate(NINETEEN), Candidate("reading 90 yards", fits=False)]
    result = weighed(heard(NINETEEN), ["reading 90 yards"], texts, [-9.5, -1.0], ALIKE)
    assert result.hypotheses[0].text == NINETEEN
    assert result.second == "reading 90 yards"


def test_the_first_ones_best_wins_a_close_contest() -> None:
    close = {NINETEEN: -3.0, NINETY: -3.1 + 0.9 * OWN / SECOND}
    assert weigh(heard(NINETEEN, NINETY), [], close).hypotheses[0].text == NINETEEN
    unsure = heard(NINETEEN, NINETY, confidence=0.2)
    assert weigh(unsure, [], close).hypotheses[0].text == NINETY


def test_what_sounds_like_no_candidate_at_all_is_rejected() -> None:
    far = {"speak louder": FLOOR - 8, "once more": FLOOR - 4}
    assert weigh(heard("speak louder"), ["nobody"], far).hypotheses == ()
    assert weigh(heard("speak louder"), [], {"speak louder": -4.0}).hypotheses
    long = "reading one hundred and twenty three point five newton meters"
    assert weigh(heard(long), [], {long: FLOOR - 2}).hypotheses
    assert not weigh(heard(long), [], {long: FLOOR - 8}).hypotheses
    written = weigh(heard("repeat that"), ["repeat that"], {"repeat that": FLOOR - 10})
    assert written.hypotheses[0].text == "repeat that"
    assert written.second == ""  # which makes the dialogue ask, were it a value


def test_what_the_first_hardly_heard_must_have_been_written_by_the_second() -> None:
    likely = {"go on": -1.0, "go back": -20.0}
    hardly = heard("go on", "go back", confidence=0.02)
    assert weigh(hardly, ["and he went on about the river"], likely).hypotheses == ()
    assert weigh(hardly, ["go on"], likely).hypotheses[0].text == "go on"
    some = heard("go on", "go back", confidence=0.3)
    assert weigh(some, ["and he went on about the river"], likely).hypotheses


def test_a_command_heard_surely_is_kept_when_the_transcript_sounds_like_it() -> None:
    def kept(confidence: float, written: str) -> bool:
        first = heard("repeat that", confidence=confidence)
        texts = [Candidate("repeat that")]
        return bool(weighed(first, [written], texts, [-18.0], ALIKE).hypotheses)

    assert kept(0.9, "repeat at")
    assert not kept(0.6, "repeat at")
    assert not kept(0.9, "the village market")
    assert not kept(0.9, "")


@given(
    st.lists(st.floats(-40, 0), min_size=3, max_size=3),
    st.floats(0, 1),
    st.sampled_from([NINETY, NINETEEN, SIXTY]),
)
def test_a_value_in_front_is_trusted_only_when_both_put_it_first(
    nats: list[float], confidence: float, best: str
) -> None:
    texts = dict(zip([NINETY, NINETEEN, SIXTY], nats, strict=True))
    result = weigh(heard(best, confidence=confidence), [], texts)
    if not result.hypotheses or result.hypotheses[0].confidence < 0.8:
        return
    front = result.hypotheses[0].text
    assert front == best
    if confidence < 0.8:
        assert result.second == front
        others = {text: n for text, n in texts.items() if text != front}
        assert all(
            SECOND * (texts[front] - n) + OWN * confidence
            >= (TWIN_MARGIN if {front, text} == {NINETY, NINETEEN} else MARGIN) - 1e-9
            for text, n in others.items()
        )
