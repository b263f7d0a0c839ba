"""A reading said in another unit: converted exactly, read back both ways, doubted where need be.

Factors: an inch is 25.4 mm by definition (NIST SP 811, 2008, Appendix B.8); a thou is 0.001 in,
a tenth 0.0001 in (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from assistant.dialogue.events import Heard
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingOffered
from assistant.dialogue.kinds.measurement.states import DigitCheck
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.quantities.amount import Amount, parse_amount
from tests.dialogue.kit import Bench, procedure

BORE = {
    "id": "bore",
    "kind": "measurement",
    "quantity": "bearing bore",
    "gauge": "bore_gauge",
    "unit": "in",
    "lower": "0.0005 in",
    "upper": "0.0040 in",
}
BORE_GAUGE = {
    "id": "bore_gauge", "kind": "dial_indicator", "name": "bore gauge", "unit": "in",
    "resolution": "0.0001 in",
}  # fmt: skip

DIAL = {
    "id": "test_dial", "kind": "dial_indicator", "name": "test dial", "unit": "thou",
    "resolution": "0.1 thou",
}  # fmt: skip


def bench(step: Mapping[str, object] | None = None) -> Bench:
    """At a bore that is read in inches, to a ten thousandth."""
    b = Bench(procedure(step or BORE, gauges=[BORE_GAUGE]))
    b.start()
    return b


def heard(b: Bench, *lines: tuple[str, float], beyond: float | None = 25.0) -> str:
    """Phrases from an engine that compared the whole grammar, each so far behind the first."""
    options = tuple(
        Hypothesis(tuple(Word(w, confidence=1.0) for w in text.split()), 1.0, behind=behind)
        for text, behind in lines
    )
    recognition = Recognition(options, "ear", beyond=beyond, shared=beyond is not None)
    return b.feed(Heard(at=b.at(), recognition=recognition))


@pytest.mark.uncounted
def test_thou_on_a_gauge_that_reads_inches() -> None:
    b = bench()
    said = b.type("reading one and a half thou")
    assert "point zero zero one five inches: one point five thou" in said
    assert "in limits" in said.lower()
    b.say("go_on")
    (counts,) = b.of(ReadingConfirmed)
    assert counts.indication.amount == parse_amount("0.0015 in")
    assert counts.how == "readback"
    said_as = counts.indication.said
    assert said_as is not None
    assert said_as.to("in").value == counts.indication.amount.value
    assert said_as.unit == "thou"
    (offered,) = b.of(ReadingOffered)
    assert offered.heard == "reading one and a half thou"


@pytest.mark.parametrize(
    ("line", "inches"),
    [
        ("reading 15 tenths", "0.0015 in"),
        ("reading 2 thou", "0.0020 in"),
        ("reading 0.0254 millimetres", "0.0010 in"),
        ("reading 50.8 microns", "0.0020 in"),
    ],
)
def test_a_whole_graduation_is_converted_exactly(line: str, inches: str) -> None:
    b = bench()
    b.type(line)
    b.say("go_on")
    (counts,) = b.of(ReadingConfirmed)
    assert counts.indication.amount == parse_amount(inches)


def test_what_is_no_whole_graduation_is_asked_for_in_the_unit_of_the_gauge() -> None:
    b = bench()
    said = b.type("reading 1.25 thou")
    assert b.awaits(DigitCheck).why == "too_fine"
    assert "one point two five thou, which is point zero zero one two five inches" in said
    assert "Say the inches digit by digit" in said
    b.type("1.25")
    assert b.of(ReadingConfirmed) == []
    b.type("reading 1.25 thou")
    b.type("0.00125")
    b.say("go_on")
    (counts,) = b.of(ReadingConfirmed)
    assert counts.indication.amount.to("in").value == parse_amount("0.00125 in").value
    assert counts.how == "digits"


def test_an_implausible_value_in_another_unit_is_asked_for() -> None:
    b = bench()
    b.type("reading 2 millimetres")
    assert isinstance(b.awaiting(), DigitCheck)


def test_a_unit_that_was_clearly_heard_is_taken() -> None:
    b = bench()
    assert "two thou" in heard(b, ("reading two thou", 0.0), ("reading two tenths", 14.0))
    assert not isinstance(b.awaiting(), DigitCheck)


@pytest.mark.parametrize("rival", ["reading two tenths", "reading two", "reading two microns"])
def test_the_same_number_in_another_unit_must_be_far_behind(rival: str) -> None:
    b = bench({**BORE, "plausible_high": "5 in", "upper": "2.5 in"})
    heard(b, ("reading two thou", 0.0), (rival, 8.0))
    assert b.awaits(DigitCheck).why == "other_unit"


def test_an_engine_that_did_not_compare_all_is_asked_again() -> None:
    b = bench()
    heard(b, ("reading two thou", 0.0), beyond=None)
    assert isinstance(b.awaiting(), DigitCheck)


def test_the_gauges_own_unit_needs_no_such_lead() -> None:
    b = bench()
    said = heard(b, ("reading decimal zero zero two inches", 0.0), ("reading two thou", 9.0))
    assert "point zero zero two" in said
    assert not isinstance(b.awaiting(), DigitCheck)


def test_sessions_from_before_replay_as_they_were() -> None:
    b = bench()
    b.state = replace(b.state, edition=0)
    b.type("reading 2 thou")
    assert b.awaits(DigitCheck).why == "other_unit"
    (offered,) = b.of(ReadingOffered)
    assert offered.indication.amount.unit == "thou"
    assert offered.indication.said is None


def test_what_was_said_is_not_said_again_as_a_habit() -> None:
    b = Bench(procedure(BORE, gauges=[BORE_GAUGE]))
    b.open(habit="metric")
    b.type("charlie")
    b.say("confirm")
    said = b.type("reading 0.0254 millimetres")
    assert "about" not in said
    assert said.count("millimeters") == 1


def test_an_amount_that_was_converted_keeps_its_graduation() -> None:
    b = bench()
    b.type("reading 2 thou")
    value = b.state.values["bore"][""].indication.amount
    assert value == Amount(parse_amount("0.002 in").value, "in", parse_amount("0.0001 in").value)


FACE = {
    "id": "face",
    "kind": "measurement",
    "quantity": "face runout",
    "gauge": "test_dial",
    "unit": "thou",
    "lower": "-5 thou",
    "upper": "5 thou",
}


@pytest.mark.parametrize(
    ("line", "said", "value"),
    [
        ("reading plus 2 thou", "plus two thou", "2 thou"),
        ("reading 2 thou", "plus two thou", "2 thou"),
        ("reading +2 thou", "plus two thou", "2 thou"),
        ("reading minus 2 thou", "minus two thou", "-2 thou"),
    ],
)
def test_the_sign_is_said_where_a_value_may_be_below_zero(line: str, said: str, value: str) -> None:
    b = Bench(procedure(FACE, gauges=[DIAL]))
    b.start()
    assert said in b.type(line)
    b.say("go_on")
    (counts,) = b.of(ReadingConfirmed)
    assert counts.indication.amount.to("thou").value == parse_amount(value).value


def test_zero_has_no_sign() -> None:
    b = Bench(procedure(FACE, gauges=[DIAL]))
    b.start()
    assert "plus" not in b.type("reading 0 thou")


def test_digits_may_have_a_plus() -> None:
    b = Bench(procedure(FACE, gauges=[DIAL]))
    b.start()
    b.hear("reading two thou", confidence=0.6)
    assert "plus two thou" in b.type("plus two")
