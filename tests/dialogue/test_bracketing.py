"""A plastic gauge strip between two printed widths, said in one sentence."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.dialogue.expectation import listening
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.stand_in import Answers
from assistant.dialogue.states import OutOfLimit, PhraseReadback, Review
from assistant.language import Language
from assistant.session.stand_in import next_line
from tests.dialogue.kit import GAUGES, LAST, Bench, procedure, replay

# widths as they are printed on the sleeves of such strips: common practice, from memory
STRIP = {"id": "strip", "kind": "plastic_gauge", "name": "plastic gauge strip", "unit": "mm",
         "resolution": "0.001 mm",
         "members": ["0.025 mm", "0.038 mm", "0.051 mm", "0.076 mm", "0.102 mm"]}  # fmt: skip


def bench(gauge: str = "strip", **more: object) -> Bench:
    step: dict[str, Any] = {
        "id": "gap", "kind": "measurement", "quantity": "clearance", "unit": "mm", "gauge": gauge,
        "lower": "0.025 mm", "upper": "0.076 mm", "plausible_low": "0.02 mm",
        "plausible_high": "0.1 mm", **more,
    }  # fmt: skip
    b = Bench(procedure(step, LAST, gauges=[*GAUGES, STRIP]))
    b.start()
    return b


@pytest.mark.parametrize(
    "line",
    [
        "reading between point zero three eight and point zero five one millimeters",
        "reading between zero point zero three eight and zero point zero five one",
        "reading between 0.038 and 0.051",
        "reading between 0.038 and 0.051 mm",
    ],
)
def test_both_numbers_are_read_back_with_the_verdict(line: str) -> None:
    b = bench()
    said = b.type(line)
    assert "over point zero three eight, under point zero five one millimeters" in said
    assert "In limits" in said
    assert b.awaiting() == Review()
    assert not b.of(ReadingConfirmed), "nothing counts before the builder goes on"
    b.say("go_on")
    (fact,) = b.of(ReadingConfirmed)
    assert str(fact.indication) == "over 0.038 to under 0.051 mm"
    assert replay(b.context, b.events) == b.state


@pytest.mark.parametrize(
    "line",
    [
        "reading between 0.038 and 0.076",  # no neighbours on the card
        "reading between 0.051 and 0.038",  # the wrong way round
        "reading between 0.04 and 0.05",  # not on the card
        "reading between 0.076 and 0.102",  # beyond what is plausible
    ],
)
def test_no_other_pair_is_listened_for(line: str) -> None:
    b = bench()
    b.type(line)
    assert b.awaiting() == Measuring(0)
    assert not b.state.values.get("gap")


def test_a_sentence_that_another_sounds_like_is_asked_about_by_both_its_numbers() -> None:
    b = bench()
    one = "reading between point zero three eight and point zero five one millimeters"
    other = "reading between point zero two five and point zero three eight millimeters"
    b.hear(one, 0.97, others=((other, 0.96),))
    assert isinstance(b.awaiting(), PhraseReadback)
    b.say("confirm")
    assert b.awaiting() == Review()
    assert str(b.state.values["gap"][""].indication) == "over 0.038 to under 0.051 mm"


@pytest.mark.parametrize("confidence", [0.4, 0.75])
def test_heard_faintly_it_is_not_taken_unasked(confidence: float) -> None:
    b = bench()
    b.hear("reading between point zero three eight and point zero five one millimeters", confidence)
    assert not b.state.values.get("gap")


def test_asked_about_it_counts_only_once_it_is_right() -> None:
    b = bench()
    at = PhraseReadback("between 1", "reading between point zero three eight and ...", Measuring(0))
    b.state = b.state.__class__(**{**vars(b.state), "awaiting": at})
    b.say("wrong")
    assert b.awaiting() == Measuring(0)
    assert not b.state.values.get("gap")
    b.state = b.state.__class__(**{**vars(b.state), "awaiting": at})
    b.say("confirm")
    assert b.awaiting() == Review()


def test_a_pair_across_a_limit_is_not_called_in_or_out() -> None:
    b = bench(lower="0.03 mm")
    said = b.type("reading between 0.025 and 0.038")
    assert "In limits" not in said
    assert not isinstance(b.awaiting(), Review)


def test_a_pair_beyond_the_limit_holds_the_job() -> None:
    b = bench(upper="0.05 mm")
    b.type("reading between 0.051 and 0.076")
    assert b.awaiting() == OutOfLimit(0)


def test_only_a_strip_is_read_so() -> None:
    b = bench(gauge="mic", lower="0.02 mm")
    assert listening(b.context, b.state).spec.spoken_values == ()


def test_help_does_not_recite_the_card() -> None:
    assert "between" not in bench().say("help")


def test_in_korean_too() -> None:
    korean = Language.load("ko-KR")
    assert korean.prompt("reading_between", low="영점 영삼팔", high="영점 영오일").endswith("사이")


def test_the_digits_of_both_numbers_are_said_when_asked_for() -> None:
    b = bench()
    b.type("reading between 0.038 and 0.051")
    said = b.say("digits")
    assert "zero point zero three eight, and zero point zero five one" in said


def test_a_stand_in_builder_may_say_it_too() -> None:
    b = bench()
    line = "reading between point zero three eight and point zero five one"
    answers = Answers(revision="C", inspector="MQ", readings={"gap": {"": line}})
    assert next_line(b.context, b.state, answers) == line
    b.type(line)
    assert next_line(b.context, b.state, answers) == "go on"


def test_a_stand_in_builder_names_the_bar_that_is_left_and_corrects_one_not_meant() -> None:
    b = bench()
    over, under = "reading more than 0.051", "reading less than 0.076"
    readings = {"gap": {"": f"{over}; {under}"}}
    answers = Answers(revision="C", inspector="MQ", readings=readings)
    assert next_line(b.context, b.state, answers) == over
    b.type("reading less than 0.051")  # said from habit: not what was meant
    assert next_line(b.context, b.state, answers) == "correction"
    b.say("correction")
    b.type(under)  # the second one first
    assert next_line(b.context, b.state, answers) == over
