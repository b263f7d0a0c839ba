"""What the assistant says: values, digits, prompts, help."""

from __future__ import annotations

from fractions import Fraction

import pytest

from assistant.language import GrammarError, Language
from assistant.quantities.amount import Amount, Indication, parse_amount
from tests.language.specs import EN


@pytest.mark.parametrize(
    ("written", "plain", "digits"),
    [
        ("40 lbf*ft", "forty pound feet", "forty pound feet, four zero"),
        ("1.50 thou", "one point five zero thou", "one point five zero thou"),
        ("19 N*m", "nineteen newton meters", "nineteen newton meters, one nine"),
        ("1/64 in", "one sixty fourth inch", "one sixty fourth inch"),
        ("3/64 in", "three sixty fourths inch", "three sixty fourths inch"),
        ("-2 thou", "minus two thou", "minus two thou"),
        ("1 in", "one inch", "one inch"),
        ("1.0 in", "one point zero inches", "one point zero inches"),
        ("105 N*m", "one hundred and five newton meters",
         "one hundred and five newton meters, one zero five"),
    ],
)  # fmt: skip
def test_amounts(written: str, plain: str, digits: str) -> None:
    amount = parse_amount(written)
    assert EN.say_amount(amount) == plain
    assert EN.say_amount(amount, digits=True) == digits


def test_a_value_that_never_ends_is_said_to_be_rounded() -> None:
    assert EN.say_amount(Amount(Fraction(1, 3), "mm")).startswith("about point three")


def test_indications() -> None:
    two, four = parse_amount("2 thou"), parse_amount("4 thou")
    assert EN.say_indication(Indication("lt", four)) == "less than four thou"
    assert EN.say_indication(Indication("ge", two)) == "at least two thou"
    assert EN.say_indication(Indication("between", two, four)) == "two to under four thou"


def test_digits() -> None:
    assert EN.say_digits("1.50") == "one point five zero"
    assert EN.say_digits("-2") == "minus two"


def test_prompts_are_filled_and_a_missing_one_is_an_error() -> None:
    assert EN.prompt("limits_both", lower="one thou", upper="two thou") == (
        "The limits are one thou to two thou."
    )
    assert EN.prompt("or") == ", or "
    with pytest.raises(KeyError):
        EN.prompt("no such prompt")


def test_every_command_has_phrases_and_help() -> None:
    for command in EN.command_ids:
        assert EN.phrase_for(command)
        assert EN.command_help(command).endswith(".")
    with pytest.raises(GrammarError, match="fly"):
        EN.phrase_for("fly")


def test_a_missing_language_is_told() -> None:
    with pytest.raises(GrammarError, match="xx-XX"):
        Language.load("xx-XX")
