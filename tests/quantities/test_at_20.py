"""``at_20`` in a formula: a size measured warm or cold, as it is at 20 degC (ISO 1)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.quantities.amount import Amount
from assistant.quantities.formula import FormulaError, evaluate
from tests.quantities.kit import a


def test_a_hundred_millimetres_of_steel_grow_and_shrink_by_the_handbook() -> None:
    """Handbook rule of the trade, from memory: 11.5 um for 100 mm and 10 K."""
    warm = {"size": a("100.0115 mm"), "heat": a("30 degC")}
    assert evaluate("at_20(size, heat, 11.5)", warm, "mm").value == 100
    cold = {"size": a("99.9885 mm"), "heat": a("10 degC")}
    assert evaluate("at_20(size, heat, 11.5)", cold, "mm").value == 100


def test_at_twenty_degrees_nothing_changes() -> None:
    """ISO 1 (from memory): sizes are meant at 20 degC, which is 68 degF."""
    for heat in ("20 degC", "68 degF"):
        inputs = {"size": a("1.5 in"), "heat": a(heat)}
        assert evaluate("at_20(size, heat, 23)", inputs, "in") == Amount(Fraction(3, 2), "in")


def test_it_joins_with_other_sizes_and_constants() -> None:
    inputs = {"bore": a("40.0115 mm"), "pin": a("40 mm"), "heat": a("45 degC")}
    found = evaluate("at_20(bore, heat, 11.5) - at_20(pin, '20 degC', 11.5)", inputs, "um")
    assert found.value == 0
    assert evaluate("at_20(min(bore, pin), heat, 0)", inputs, "mm").value == 40


@settings(max_examples=100, deadline=None)
@given(
    st.decimals("1", "500", places=3), st.decimals("-40", "200", places=1),
    st.decimals("0", "30", places=1),
)  # fmt: skip
def test_growing_it_again_gives_the_reading(size: object, heat: object, millionths: object) -> None:
    inputs = {"size": a(f"{size} mm"), "heat": a(f"{heat} degC")}
    found = evaluate(f"at_20(size, heat, {millionths})", inputs, "mm").value
    growth = Fraction(str(millionths)) * (Fraction(str(heat)) - 20) / 1_000_000
    assert found * (1 + growth) == Fraction(str(size))


@pytest.mark.parametrize(
    ("formula", "words"),
    [
        ("at_20(size, heat)", "takes a length, a temperature"),
        ("at_20(heat, size, 11.5)", "takes a length, a temperature"),
        ("at_20(size, heat, size)", "takes a length, a temperature"),
        ("at_20(size * size, heat, 11.5)", "takes a length, a temperature"),
        ("at_20(size, heat, 11500)", "between 0 and 300"),
        ("at_20(size, heat, -11.5)", "between 0 and 300"),
    ],
)
def test_what_cannot_be_corrected_is_told(formula: str, words: str) -> None:
    with pytest.raises(FormulaError, match=words):
        evaluate(formula, {"size": a("40 mm"), "heat": a("25 degC")}, "mm")
