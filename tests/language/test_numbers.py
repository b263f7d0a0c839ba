"""Numbers as the trade says them, against num2words and against worked values."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from num2words import num2words

from assistant.language.spec import Digits, ListenSpec, NumberSpec, Phrase, Reading, Spelling
from assistant.quantities.amount import Amount, Indication, parse_amount
from tests.language.specs import EN, SPECS


def heard(spec: str, text: str) -> Indication:
    (meaning,) = EN.interpret(SPECS[spec], text)
    assert isinstance(meaning, Reading)
    return meaning.indication


@pytest.mark.uncounted
@pytest.mark.parametrize(
    ("spec", "said", "written"),
    [
        ("dial", "one point five thou", "1.5 thou"),
        ("dial", "one point five", "1.5 thou"),
        ("dial", "one decimal five thou", "1.5 thou"),
        ("dial", "fifteen ten thousandths", "0.0015 in"),
        ("dial", "fifteen ten-thousandths", "0.0015 in"),
        ("dial", "ten thousandths", "0.010 in"),
        ("dial", "four thousandths of an inch", "0.004 in"),
        ("dial", "two tenths", "2 tenth"),
        ("dial", "two tenths of a thou", "0.2 thou"),
        ("dial", "point zero zero one five inch", "0.0015 in"),
        ("dial", "point double oh one five inches", "0.0015 in"),
        ("dial", "three sixty fourths", "3/64 in"),
        ("dial", "a hundred and five thou", "105 thou"),
        ("dial", "one hundred five thou", "105 thou"),
        ("dial", "one double four thou", "144 thou"),
        ("dial", "thirty microns", "30 um"),
        ("dial", "two thousand five hundred and forty microns", "2540 um"),
        ("dial", "zero thou", "0 thou"),
        ("micrometer", "point one two millimetres", "0.12 mm"),
        ("micrometer", "forty point zero one two millimeters", "40.012 mm"),
        ("micrometer", "twelve hundredths", "0.12 mm"),
        ("signed dial", "minus point zero two millimetres", "-0.02 mm"),
        ("signed dial", "minus two", "-2 mm"),
        ("signed dial", "plus two", "2 mm"),
        ("signed dial", "plus point zero two millimetres", "0.02 mm"),
        ("signed dial", "+2 mm", "2 mm"),
        ("torque", "nineteen newton metres", "19 N*m"),
        ("torque", "fourteen foot pounds", "14 lbf*ft"),
        ("torque", "fourteen pound feet", "14 lbf*ft"),
        ("torque", "one four pound feet", "14 lbf*ft"),
        ("torque", "ninety six inch pounds", "96 lbf*in"),
        ("torque", "ninety six pound inches", "96 lbf*in"),
        ("warmth", "minus five degrees", "-5 degC"),
        ("warmth", "seventy degrees fahrenheit", "70 degF"),
        # typed forms
        ("dial", "1.50 thou", "1.50 thou"),
        ("dial", "0.0015 inch", "0.0015 in"),
        ("dial", ".0015 in", "0.0015 in"),
        ("dial", '0.0015"', "0.0015 in"),
        ("dial", "1/64 inch", "1/64 in"),
        ("dial", "2,540 um", "2540 um"),
        ("signed dial", "-0.02 mm", "-0.02 mm"),
        ("signed dial", "−0.02 mm", "-0.02 mm"),
        ("torque", "14 lbf ft", "14 lbf*ft"),
        ("torque", "14 ft-lb", "14 lbf*ft"),
        ("torque", "19 N·m.", "19 N*m"),
        ("torque", "19 N*m", "19 N*m"),
        ("warmth", "20 °C", "20 degC"),
        ("warmth", "20°C", "20 degC"),
        ("screw", "forty centinewton metres", "40 cN*m"),
        ("screw", "40 cN*m", "40 cN*m"),
        ("screw", "40 cN·m", "40 cN*m"),
        ("screw", "40 cNm", "40 cN*m"),
        ("screw", "0.4 N*m", "0.4 N*m"),
        ("ounces", "eighty ounce inches", "80 ozf*in"),
        ("ounces", "80 ozf*in", "80 ozf*in"),
        ("ounces", "80 in-oz", "80 ozf*in"),
        ("press", "twelve point five kilonewtons", "12.5 kN"),
        ("press", "12.5 kN", "12.5 kN"),
        ("oil pressure", "two megapascals", "2 MPa"),
        ("oil pressure", "2.5 MPa", "2.5 MPa"),
        ("slope", "-0.02 mm/m", "-0.02 mm/m"),
        ("flow", "twelve litres per minute", "12 l/min"),
        ("flow", "12.5 l/min", "12.5 l/min"),
        ("warming", "two degrees celsius per minute", "2 degC/min"),
        ("warming", "2 °C/h", "2 degC/h"),
        ("warming", "2 degF/min", "2 degF/min"),
    ],
)
def test_a_value_keeps_its_number_unit_and_resolution(spec: str, said: str, written: str) -> None:
    # Trade phrasings: common practice, no source.
    assert heard(spec, "reading " + said) == Indication("eq", parse_amount(written))


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("one and a half thou", Fraction(3, 2)),
        ("one hundred and a half thou", Fraction(201, 2)),
        ("half a thou", Fraction(1, 2)),
        ("a half thou", Fraction(1, 2)),
        ("1 1/2 thou", Fraction(3, 2)),
        ("1½ thou", Fraction(3, 2)),
    ],
)
def test_halves_are_exact_and_state_no_decimals(said: str, value: Fraction) -> None:
    amount = heard("dial", "reading " + said).amount
    assert (amount.value, amount.unit, amount.resolution) == (value, "thou", None)


@pytest.mark.parametrize(
    ("said", "relation", "value"),
    [
        ("blade two goes", "ge", Fraction(2)),
        ("blade 2 goes", "ge", Fraction(2)),
        ("four does not go", "lt", Fraction(4)),
        ("blade four will not go", "lt", Fraction(4)),
        ("blade 4 won't go", "lt", Fraction(4)),
        ("blade one and a half goes", "ge", Fraction(3, 2)),
        ("reading less than one and a half thou", "lt", Fraction(3, 2)),
        ("reading more than three thou", "gt", Fraction(3)),
        ("reading > 3 thou", "gt", Fraction(3)),
    ],
)
def test_blades_and_bounds(said: str, relation: str, value: Fraction) -> None:
    # A blade that will not go is larger than the gap: common practice, no source.
    indication = heard("feeler", said)
    assert (indication.relation, indication.amount.value) == (relation, value)
    assert indication.amount.unit == "thou"


@pytest.mark.parametrize(
    ("spec", "text"),
    [
        ("dial", "1.5 thou"),  # no carrier word
        ("dial", "reading zero five thou"),
        ("dial", "reading one point thou"),
        ("dial", "reading twenty eleven thou"),
        ("dial", "reading one hundred ten thousandths"),  # 0.110 or 0.0100?
        ("dial", "reading minus two thou"),
        ("dial", "reading nineteen newton metres"),
        ("torque", "reading 19 bananas"),
        ("torque", "reading 14 14 pound feet"),
        ("dial", "reading one point five five thou"),  # finer than the gauge
        ("digits", "1/64"),
        ("dial", ""),
        ("dial", "reading"),
    ],
)
def test_what_is_no_reading_of_the_moment_means_nothing(spec: str, text: str) -> None:
    assert EN.interpret(SPECS[spec], text) == ()


OPEN = ListenSpec(reading=NumberSpec(("N",), 6, None, Fraction(99_999)), digits=True)
WHOLES = [*range(1300), *range(1300, 1_000_000, 997), 10_000, 99_999, 100_000, 999_999]


@pytest.mark.uncounted
def test_words_of_num2words_mean_the_same_whole_number() -> None:
    # External: the num2words library (LGPL), an independent speller of numbers.
    for number in WHOLES:
        words = num2words(number, lang="en").replace(",", "")
        (meaning,) = EN.interpret(OPEN, f"reading {words} newtons")
        assert isinstance(meaning, Reading)
        assert meaning.indication.amount == parse_amount(f"{number} N"), words


@pytest.mark.uncounted
def test_words_of_num2words_mean_the_same_decimal() -> None:
    for number in range(0, 99_999, 37):
        value = Decimal(number) / 1000
        words = num2words(value, lang="en").replace(",", "")
        (meaning,) = EN.interpret(OPEN, f"reading {words} newtons")
        assert isinstance(meaning, Reading)
        assert meaning.indication.amount.value == Fraction(value), words


@pytest.mark.uncounted
def test_what_the_assistant_says_is_understood_by_itself() -> None:
    for number in range(0, 40_000, 19):
        value = Fraction(number, 100)
        for decimals in (0, 2, 3):
            said = EN.say_number(value, decimals)
            (meaning,) = EN.interpret(OPEN, f"reading {said} newtons")
            assert isinstance(meaning, Reading)
            assert meaning.indication.amount.value == value
            assert (meaning.indication.amount.decimals() or 0) >= decimals


@pytest.mark.parametrize(
    ("said", "written"),
    [
        ("one point five", "1.5"), ("one decimal five", "1.5"), ("nine zero", "90"),
        ("niner oh", "90"), ("double four", "44"), ("point zero five", "0.05"),
        ("minus two", "-2"), ("one point five zero", "1.50"), ("1.5", "1.5"), ("-2", "-2"),
        ("triple one", "111"),
    ],
)  # fmt: skip
def test_digit_by_digit(said: str, written: str) -> None:
    assert EN.interpret(SPECS["digits"], said) == (Digits(written),)


# ICAO Annex 10 Volume II, figure 5-1 (spelling alphabet), from memory; spellings as in the annex.
ICAO = """
Alfa Bravo Charlie Delta Echo Foxtrot Golf Hotel India Juliett Kilo Lima Mike November Oscar Papa
Quebec Romeo Sierra Tango Uniform Victor Whiskey X-ray Yankee Zulu
""".split()  # noqa: SIM905


@pytest.mark.parametrize("word", ICAO)
def test_spelling_alphabet_of_icao_annex_10(word: str) -> None:
    assert EN.interpret(SPECS["spelling"], word) == (Spelling(word[0]),)
    said = EN.say_spelling(word[0])
    assert EN.interpret(SPECS["spelling"], said) == (Spelling(word[0]),)


def test_spelled_serials() -> None:
    spell = SPECS["spelling"]
    assert EN.interpret(spell, "kilo bravo two dash niner seven") == (Spelling("KB2-97"),)
    assert EN.interpret(spell, "double bravo zero") == (Spelling("BB0"),)
    assert EN.interpret(spell, "KB2-0207") == (Spelling("KB2-0207"),)
    assert EN.interpret(spell, "repaet that") == ()
    assert EN.say_spelling("KB2C") == "kilo bravo two charlie"


def test_phrases_may_be_typed_with_figures() -> None:
    assert EN.interpret(SPECS["phrases"], "Bolt 2.") == (Phrase("b2"),)


@pytest.mark.parametrize(
    "text",
    ["1,5", "1 . 5", "0,05", "1;5", "1/0", "²", "１.５", "9" * 5000],
)
def test_figures_that_are_no_number_here_are_not_another_number(text: str) -> None:
    spec = ListenSpec(reading=NumberSpec(units=("thou", "mm"), max_decimals=2))
    assert EN.interpret(spec, f"reading {text} thou") == ()
    assert EN.interpret(SPECS["digits"], text) == ()


def test_a_phrase_may_follow_a_spelling_in_the_same_breath_where_it_is_allowed() -> None:
    spec = ListenSpec(
        spelling=True, after_spelling=(("std", "standard"), ("std/new", "standard new parts"))
    )
    assert EN.interpret(spec, "charlie standard new parts") == (Spelling("C", "std/new"),)
    assert EN.interpret(spec, "kilo bravo two standard") == (Spelling("KB2", "std"),)
    assert EN.interpret(spec, "charlie") == (Spelling("C"),)
    assert EN.interpret(spec, "standard") == ()
    assert EN.interpret(ListenSpec(spelling=True), "charlie standard") == ()


def test_the_zero_before_the_point_is_left_out_and_understood_so() -> None:
    said = EN.say_amount(Amount(Fraction(12, 1000), "mm"))
    assert said == "point zero one two millimeters"
    assert EN.say_amount(Amount(Fraction(-2, 100), "mm")) == "minus point zero two millimeters"
    assert EN.say_amount(Amount(Fraction(0), "mm")) == "zero millimeters"
    assert EN.say_digits("0.5") == "zero point five"


@pytest.mark.parametrize(
    "typed", ["reading # thou", "reading #", "reading #nan thou", "reading #1e99999999 thou",
              "reading #1/0 thou", "reading #, thou", "reading #½ thou"],
)  # fmt: skip
def test_a_number_sign_that_is_typed_stands_for_no_number(typed: str) -> None:
    """Grammars have this sign where a typed number may be; "#" alone ended the session."""
    spec = ListenSpec(reading=NumberSpec(("thou",), 4, Fraction(0), Fraction(1000)))
    assert EN.interpret(spec, typed) == ()
