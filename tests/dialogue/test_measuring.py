"""Readings: read back, judged, doubted, corrected, dispositioned; nothing wrong slips in."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

import pytest

from assistant.dialogue.expectation import listening
from assistant.dialogue.facts import DispositionRecorded, WorkFinished
from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.states import OutOfLimit, Release, Review
from tests.dialogue.kit import LAST, Bench, procedure

FLOAT = {
    "id": "end_float", "kind": "measurement", "quantity": "end float", "unit": "thou",
    "gauge": "dial", "lower": "1 thou", "upper": "4 thou",
}  # fmt: skip
RING = {**FLOAT, "id": "ring_gap", "positions": ["front", "rear"]}
FEEL = {**FLOAT, "id": "gap", "gauge": "feelers", "lower": "1.5 thou", "upper": "4 thou"}


def bench(step: Mapping[str, object]) -> Bench:
    b = Bench(procedure(step, LAST))
    b.start()
    return b


def test_a_reading_is_read_back_with_its_verdict_and_counts_on_going_on() -> None:
    b = bench(FLOAT)
    said = b.type("reading 2.5 thou")
    assert "two point five thou" in said
    assert "In limits" in said
    assert b.of(ReadingConfirmed) == []
    b.say("go_on")
    (confirmed,) = b.of(ReadingConfirmed)
    assert confirmed.indication.amount.value == Fraction(5, 2)
    assert confirmed.judgement.verdict == "in"
    assert b.state.step == "last"


def test_correction_takes_the_reading_back_and_both_stay_in_the_record() -> None:
    b = bench(FLOAT)
    b.type("reading 2.5 thou")
    b.say("correction")
    b.type("reading 3.5 thou")
    b.say("go_on")
    assert [o.indication.amount.value for o in b.of(ReadingOffered)] == [
        Fraction(5, 2),
        Fraction(7, 2),
    ]
    assert [s.why for s in b.of(ReadingSuperseded)] == ["correction"]
    (confirmed,) = b.of(ReadingConfirmed)
    assert confirmed.indication.amount.value == Fraction(7, 2)


def test_positions_are_asked_in_order_and_one_can_be_named_again() -> None:
    b = bench(RING)
    assert b.awaiting() == Measuring(0)
    b.type("reading 2 thou")
    assert b.awaiting() == Measuring(1)
    b.type("reading 3 thou")
    assert b.awaiting() == Review()
    b.type("front")
    assert b.awaiting() == Measuring(0)
    b.type("reading 1.5 thou")
    b.say("go_on")
    assert {c.position: str(c.indication) for c in b.of(ReadingConfirmed)} == {
        "front": "1.5 thou",
        "rear": "3 thou",
    }


def test_correction_takes_back_the_one_said_last() -> None:
    b = bench(RING)
    b.type("reading 2 thou", "reading 3 thou", "front", "reading 1.5 thou")
    b.say("correction")
    assert b.awaiting() == Measuring(0)


def test_remeasure_takes_all_back() -> None:
    b = bench(RING)
    b.type("reading 2 thou", "reading 3 thou")
    b.say("remeasure")
    assert [s.why for s in b.of(ReadingSuperseded)] == ["remeasure", "remeasure"]
    assert b.awaiting() == Measuring(0)


def test_an_out_of_limit_reading_never_passes_by_going_on() -> None:
    b = bench(FLOAT)
    assert "Out of limits" in b.type("reading 4.1 thou")
    assert b.awaiting() == OutOfLimit(0)
    b.say("go_on")
    assert b.awaiting() == OutOfLimit(0)
    assert b.of(ReadingConfirmed) == []


def test_exactly_at_the_limit_is_in() -> None:
    b = bench(FLOAT)
    assert "In limits" in b.type("reading 4 thou")


def test_a_disposition_needs_a_reason_and_another_person() -> None:
    b = bench(FLOAT)
    b.type("reading 4.1 thou")
    b.say("disposition_use_as_is")
    b.type("the worn thrust washer is on order")
    assert isinstance(b.awaiting(), Release)
    said = b.type("inspector oscar bravo")
    assert "is the builder" in said
    b.say("accept")
    assert isinstance(b.awaiting(), Release)
    b.type("inspector mike quebec")
    b.say("accept")
    assert b.awaiting() == Review()
    b.say("go_on")
    first, second = b.of(DispositionRecorded)
    assert (first.released_by, second.released_by) == (None, "Marta Quill")
    assert second.reason == "the worn thrust washer is on order"
    (confirmed,) = b.of(ReadingConfirmed)
    assert confirmed.judgement.verdict == "out"


def test_a_refused_release_leaves_the_job_held() -> None:
    b = bench(FLOAT)
    b.type("reading 4.1 thou")
    b.say("disposition_rework")
    b.type("will be scraped", "inspector mike quebec")
    b.say("refuse")
    assert b.awaiting() == OutOfLimit(0)


def test_remeasuring_after_out_of_limit() -> None:
    b = bench(FLOAT)
    b.type("reading 4.1 thou")
    b.say("remeasure")
    b.type("reading 3.9 thou")
    b.say("go_on")
    assert [str(c.indication) for c in b.of(ReadingConfirmed)] == ["3.9 thou"]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("reading 60 thou", "implausible"),
        ("reading 2.55 thou", "too_fine"),
        ("reading 0.05 millimetres", "too_fine"),
    ],
)
def test_a_value_hard_to_believe_needs_its_digits(line: str, why: str) -> None:
    b = bench({**FLOAT, "plausible_high": "50 thou"})
    b.type(line)
    assert b.awaits(DigitCheck).why == why


def test_digits_must_give_the_very_value() -> None:
    b = bench(FLOAT)
    b.hear("reading three thou", confidence=0.6)
    assert isinstance(b.awaiting(), DigitCheck)
    b.type("two")
    assert b.awaiting() == Measuring(0)
    assert b.state.values.get("end_float", {}) == {}
    b.hear("reading three thou", confidence=0.6)
    b.type("three")
    b.say("go_on")
    (confirmed,) = b.of(ReadingConfirmed)
    assert confirmed.how == "digits"


def test_wrong_throws_a_doubted_value_away() -> None:
    b = bench(FLOAT)
    b.hear("reading three thou", confidence=0.6)
    b.say("wrong")
    assert b.awaiting() == Measuring(0)


@pytest.mark.parametrize(
    "twin", [("fifteen", "fifty"), ("nineteen", "ninety"), ("fourteen", "forty")]
)
def test_numbers_that_sound_alike_need_their_digits(twin: tuple[str, str]) -> None:
    wide = {**FLOAT, "lower": "1 thou", "upper": "99 thou"}
    for word in twin:
        b = bench(wide)
        said = b.hear(f"reading {word} thou", confidence=1.0)
        assert isinstance(b.awaiting(), DigitCheck), word
        assert "digit by digit" in said


def test_a_second_listener_that_heard_another_value_raises_doubt() -> None:
    b = bench(FLOAT)
    b.hear("reading two thou", second="reading three thou")
    assert isinstance(b.awaiting(), DigitCheck)


def test_an_alternative_with_another_value_raises_doubt() -> None:
    b = bench(FLOAT)
    b.hear("reading two thou", 0.9, (("reading three thou", 0.7),))
    assert isinstance(b.awaiting(), DigitCheck)


def test_low_confidence_does_nothing_but_chime() -> None:
    b = bench(FLOAT)
    before = b.state
    assert b.hear("reading two thou", confidence=0.3) == ""
    assert b.state == before
    assert b.of(ReadingOffered) == []


def test_blades_narrow_a_gap_until_it_is_decided() -> None:
    b = bench(FEEL)
    said = b.type("blade 2 goes")
    assert "does not decide" in said
    assert isinstance(b.awaiting(), Measuring)
    said = b.type("blade 4 does not go")
    assert "In limits" in said
    b.say("go_on")
    (confirmed,) = b.of(ReadingConfirmed)
    assert confirmed.indication.relation == "between"
    assert confirmed.indication.bounds("thou") == (Fraction(2), Fraction(4))


def test_contradicting_blades_start_the_position_again() -> None:
    b = bench(FEEL)
    b.type("blade 3 goes")
    said = b.type("blade 2 does not go")
    assert "contradict" in said
    assert b.awaiting() == Measuring(0)


def test_a_blade_that_goes_above_the_limit_is_out() -> None:
    b = bench({**FEEL, "upper": "3 thou"})
    assert "Out of limits" in b.type("blade 4 goes")


def test_a_guarded_limit_too_close_to_call_does_not_pass() -> None:
    b = bench({**FLOAT, "rule": "guarded"})
    assert "Too close to call" in b.type("reading 3.9 thou")
    assert b.awaiting() == OutOfLimit(0)


def test_the_digits_of_an_earlier_value_are_not_given_for_those_asked_for() -> None:
    b = bench({**FLOAT, "plausible_high": "50 thou", "positions": ["top", "bottom"]})
    b.type("reading 3 thou", "reading 60 thou")
    said = b.say("digits")
    assert "sixty thou" in said
    assert "three" not in said
    assert isinstance(b.awaiting(), DigitCheck)


def test_correction_takes_back_the_blades_just_tried_not_the_position_before() -> None:
    b = bench({**FEEL, "positions": ["top", "bottom"]})
    b.type("reading 3 thou", "blade 2 goes")
    said = b.say("correction")
    assert "bottom" in said
    assert b.awaiting() == Measuring(1)
    assert set(b.state.values["gap"]) == {"top"}
    # the blade taken back no longer counts: 1.5 that does not go would contradict it
    assert "contradict" not in b.type("blade 1.5 does not go")


def test_a_refused_release_asks_again_what_is_to_be_done() -> None:
    b = bench(FLOAT)
    b.type("reading 4.1 thou")
    b.say("disposition_use_as_is")
    b.type("worn", "inspector mike quebec")
    assert "Say take it again, or decide" in b.say("refuse")


def test_a_disposition_of_a_value_taken_back_is_not_counted_at_the_end() -> None:
    b = bench(FLOAT)
    b.type("reading 4.1 thou")
    b.say("disposition_use_as_is")
    b.type("worn", "inspector mike quebec")
    b.say("accept", "correction")
    b.type("reading 3 thou")
    said = b.say("go_on", "done")
    assert "No deviations." in said
    assert [f.open_dispositions for f in b.of(WorkFinished)] == [0]


@pytest.mark.parametrize("disposition", ["disposition_rework", "disposition_replace"])
def test_a_part_that_was_changed_is_measured_again_after_the_release(disposition: str) -> None:
    b = bench(FLOAT)
    b.type("reading 4.1 thou")
    b.say(disposition)
    b.type("worn", "inspector mike quebec")
    b.say("accept")
    assert b.awaiting() == Measuring(0)
    b.say("go_on")
    assert b.of(ReadingConfirmed) == []
    b.type("reading 3.5 thou")
    b.say("go_on")
    assert [str(c.indication) for c in b.of(ReadingConfirmed)] == ["3.5 thou"]


def test_a_yard_long_line_is_not_read_back_in_full() -> None:
    b = bench(FLOAT)
    assert len(b.type("x" * 10_000)) < 200
    assert len(b.type("gearbox " * 1_000)) < 200


def test_an_out_of_limit_reading_is_not_skipped_away() -> None:
    b = bench(FLOAT)
    b.type("reading 4.1 thou")
    b.say("skip")
    assert b.awaiting() == OutOfLimit(0)


@pytest.mark.parametrize("line", ["reading 1,500 thou", "reading 3,5 thou", "reading 1,5"])
def test_a_typed_comma_is_never_guessed_at(line: str) -> None:
    b = bench(FLOAT)
    said = b.type(line)
    assert "comma" in said
    assert b.awaiting() == Measuring(0)
    assert b.state.values == {}
    assert "three thou" in b.type("reading 3 thou")


@pytest.mark.parametrize(("low", "signed"), [("-1 thou", True), ("0 thou", False)])
def test_minus_is_heard_only_where_a_value_may_be_below_zero(low: str, signed: bool) -> None:
    step = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou",
            "gauge": "dial", "upper": "30 thou", "plausible_low": low,
            "plausible_high": "40 thou"}  # fmt: skip
    b = Bench(procedure(step))
    b.start()
    asked = listening(b.context, b.state).spec.reading
    assert asked is not None
    assert asked.signed is signed
    assert (asked.low, asked.high) == (Fraction(-1 if signed else 0), Fraction(40))
