"""Formulas: exact values, unit checking with pint as the reference, and refusals."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from itertools import accumulate
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.language.english import in_english
from assistant.quantities.amount import Amount
from assistant.quantities.formula import FormulaError, evaluate, names_in
from assistant.quantities.units import UnitError
from tests.quantities.kit import a
from tests.quantities.pint_units import PINT, pint, registry

READINGS = {
    "bore": a("30.021 mm"),
    "journal": a("1.1811 in"),
    "gap": a("4 thou"),
    "pull": a("3 lbf"),
    "arm": a("8 in"),
    "turn": a("60 deg"),
    "count": a("3 1"),
    "warm": a("20 degC"),
    "hot": a("212 degF"),
    "nothing": a("0 mm"),
    "rise": a("9 delta_degF"),
}


@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("bore - journal", "um", Fraction("21.06")),  # 1.1811 in = 29.99994 mm exactly
        ("(bore + bore) / 2", "mm", Fraction("30.021")),
        ("half(gap)", "thou", 2),
        ("abs(journal - bore)", "um", Fraction("21.06")),
        ("abs(bore - journal)", "um", Fraction("21.06")),
        ("mean(gap, gap, gap + gap)", "thou", Fraction(16, 3)),
        ("min(gap, bore)", "thou", 4),
        ("max(gap, '0.2 mm')", "mm", Fraction("0.2")),
        ("gap - '1.5 thou'", "thou", Fraction(5, 2)),
        ("gap * 1.1", "thou", Fraction("4.4")),
        ("-gap", "thou", -4),
        ("+gap", "thou", 4),
        ("gap * 1e1 * 0x2", "thou", 80),
        ("pull * arm", "lbf*in", 24),
        ("pull * arm", "lbf*ft", 2),
        ("count * turn", "deg", 180),
        ("bore / bore", "1", 1),
        ("2 + 3", "1", 5),
        ("mean(warm, hot)", "degC", 60),
        ("max(warm, hot)", "degF", 212),
        # NIST SP 811 B.8.4: a difference of 1 degC is one of 1.8 degF; 212 degF is 100 degC
        ("hot - warm", "delta_degC", 80),
        ("hot - warm", "delta_degF", 144),
        ("warm + rise", "degC", 25),
        ("rise + warm", "degF", 77),
        ("hot - rise - warm", "delta_degC", 75),
        ("half(hot - warm)", "delta_degC", 40),
        ("2 * rise", "delta_degC", 10),
        ("warm - '15 degC'", "delta_degC", 5),
        ("hypot(gap * 3, gap * 4)", "thou", 20),
        ("sqrt(bore * bore)", "mm", Fraction("30.021")),
        ("  gap  ", "thou", 4),
    ],
)
def test_values(text: str, unit: str, expected: Fraction | int) -> None:
    assert evaluate(text, READINGS, unit) == Amount(Fraction(expected), unit)


@pytest.mark.parametrize(
    ("text", "unit", "part"),
    [
        ("bore - pull", "mm", "mixes quantities of different kinds"),
        ("bore + 1", "mm", "mixes quantities of different kinds"),
        ("max(bore, 0)", "mm", "mixes quantities of different kinds"),
        ("bore * gap", "mm", "does not give 'mm'"),
        ("turn", "1", "does not give '1'"),
        ("bore / nothing", "1", "divides by zero"),
        ("bore / (gap - gap)", "1", "divides by zero"),
        ("bore - jurnal", "mm", "'jurnal' is not an input"),
        ("bore -", "mm", "is not a formula"),
        ("", "mm", "is not a formula"),
        ("bore; gap", "mm", "is not a formula"),
        ("bore ** 2", "mm", "A formula takes names"),
        ("bore // gap", "1", "A formula takes names"),
        ("bore if gap else gap", "mm", "A formula takes names"),
        ("bore.real", "mm", "A formula takes names"),
        ("bore[0]", "mm", "A formula takes names"),
        ("[bore]", "mm", "A formula takes names"),
        ("True", "1", "A formula takes names"),
        ("None", "1", "A formula takes names"),
        ("1j", "1", "A formula takes names"),
        ("min()", "mm", "A formula takes names"),
        ("min(bore, key=gap)", "mm", "A formula takes names"),
        ("min(*bore)", "mm", "A formula takes names"),
        ("open('x')", "mm", "'x' is not a number"),
        ("sum(bore)", "mm", "A formula takes names"),
        ("__import__('os')", "mm", "'os' is not a number"),
        ("(lambda: bore)()", "mm", "A formula takes names"),
        ("half(bore, gap)", "mm", "'half' in the formula takes one value"),
        ("gap - '2 furlong'", "thou", "'furlong' is not a known unit"),
        ("warm - hot", "degC", "does not give 'degC'"),
        ("warm + hot", "degC", "only min, max and mean"),
        ("warm * 2", "degC", "only min, max and mean"),
        ("rise - warm", "degC", "mixes quantities of different kinds"),
        ("max(rise, warm)", "degC", "mixes quantities of different kinds"),
        ("rise + bore", "mm", "mixes quantities of different kinds"),
        ("hypot(warm, warm)", "degC", "only min, max and mean"),
        ("sqrt(bore)", "mm", "a square root that gives no quantity"),
        ("sqrt(gap * (bore - bore - gap))", "mm", "square root of less than zero"),
        ("hypot(bore)", "mm", "'hypot' in the formula takes two values"),
        ("half(warm)", "degC", "only min, max and mean"),
        ("-warm", "degC", "only min, max and mean"),
        ("bore * 1e999999999", "mm", "out of all proportion"),
        ("bore * 1e-999999999", "mm", "out of all proportion"),
        ("+" * 30 + "bore", "mm", "too many brackets"),
        ("bore + " * 40 + "bore", "mm", "shorten it to 200"),
        ("(" * 99 + "bore" + ")" * 99, "mm", "shorten it to 200"),
    ],
)
def test_refusals_are_one_sentence(text: str, unit: str, part: str) -> None:
    with pytest.raises(FormulaError) as caught:
        evaluate(text, READINGS, unit)
    sentence = in_english(caught.value.told)
    assert part in sentence
    assert "\n" not in sentence
    assert sentence.endswith(".")


def test_no_inputs_are_named_as_none() -> None:
    with pytest.raises(FormulaError, match="it has: none"):
        evaluate("bore", {}, "mm")


def test_an_unknown_result_unit() -> None:
    with pytest.raises(UnitError, match="Unknown unit 'cubit'"):
        evaluate("bore", READINGS, "cubit")


def test_names() -> None:
    assert names_in("max(bore, journal) - half(gap)") == {"bore", "journal", "gap"}
    assert names_in("min + min(gap, gap)") == {"min", "gap"}
    with pytest.raises(FormulaError):
        names_in("bore -")


_plain = {
    name: amount for name, amount in READINGS.items() if name not in ("warm", "hot", "turn", "rise")
}
_texts = st.recursive(
    st.sampled_from([*_plain, "2", "0.5"]),
    lambda inner: st.tuples(inner, st.sampled_from("+-*/"), inner).map(
        lambda t: f"({t[0]} {t[1]} {t[2]})"
    ),
    max_leaves=6,
)


@settings(max_examples=200)
@given(_texts, st.sampled_from(["mm", "N*m", "1", "N"]))
def test_pint_agrees(text: str, unit: str) -> None:
    """pint over Fraction, given the same arithmetic by Python, is the reference library."""
    names = {
        n: registry().Quantity(v.value, registry().Unit(PINT[v.unit])) for n, v in _plain.items()
    }

    def number(digits: str) -> Any:
        return registry().Quantity(Fraction(digits), "dimensionless")

    expected: Fraction | None
    try:
        # the texts are made above from names, two numbers, + - * / and brackets alone
        expected = Fraction(_by_pint(text, names, number).to(registry().Unit(PINT[unit])).magnitude)
    except (pint.DimensionalityError, ZeroDivisionError):
        expected = None
    try:
        ours: Fraction | None = evaluate(text, READINGS, unit).value
    except FormulaError:
        ours = None
    assert ours == expected


def _by_pint(text: str, names: dict[str, Any], number: Callable[[str], Any]) -> Any:
    if not text.startswith("("):
        return names[text] if text in names else number(text)
    depths = accumulate({"(": 1, ")": -1}.get(char, 0) for char in text)
    place = next(at for at, depth in enumerate(depths) if depth == 1 and text[at] == " ")
    one = _by_pint(text[1:place], names, number)
    two = _by_pint(text[place + 3 : -1], names, number)
    match text[place + 1]:
        case "+":
            return one + two
        case "-":
            return one - two
        case "*":
            return one * two
    return one / two


@pytest.mark.parametrize(
    ("one", "end"), [("(b+", ")"), ("(b-", ")"), ("-", ""), ("+", ""), ("abs(", ")")]
)
def test_brackets_may_be_twenty_deep(one: str, end: str) -> None:
    inputs = {"b": a("1 mm")}
    for depth, fails in ((19, False), (20, False), (21, True)):
        formula = one * depth + "b" + end * depth
        if fails:
            with pytest.raises(FormulaError, match="too many brackets"):
                evaluate(formula, inputs, "mm")
        else:
            evaluate(formula, inputs, "mm")


def test_sums_to_the_left_count_as_brackets_too() -> None:
    inputs = {"b": a("1 mm")}
    assert evaluate("b" + "+b" * 20, inputs, "mm") == Amount(Fraction(21), "mm")
    with pytest.raises(FormulaError, match="too many brackets"):
        evaluate("b" + "+b" * 21, inputs, "mm")
