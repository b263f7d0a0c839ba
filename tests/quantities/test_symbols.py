"""Units as they are printed and shown."""

from __future__ import annotations

from assistant.quantities.amount import parse_amount
from assistant.quantities.limits import Limits
from assistant.quantities.symbols import symbol, with_symbols
from assistant.quantities.units import UNITS
from assistant.report.sheet import words


def test_no_symbol_shows_a_code_of_ours() -> None:
    """A half-high dot for products (NIST SP 811, 2008, 6.1.5; from memory), signs for the rest."""
    for unit in UNITS:
        assert not set(symbol(unit)) & set("*_1"), unit
        assert not symbol(unit).startswith(("deg", "u")), unit


def test_a_bare_number_has_no_unit_on_the_record() -> None:
    """Quantities of dimension one: the number alone (NIST SP 811, 2008, 7.10; from memory)."""
    assert words.amount(parse_amount("3 1")) == "3"
    assert words.limits(Limits(parse_amount("2 1"), parse_amount("4 1"))) == "2\u2009–\u20094"


def test_codes_behind_numbers_are_shown_as_symbols_and_nothing_else_is() -> None:
    for unit in UNITS:
        shown = with_symbols(f"from 7 {unit}, then 2 {unit} of it")
        sign = "" if unit == "1" else symbol(unit)
        gap = "" if sign == "°" else " "
        if sign:
            assert shown == f"from 7{gap}{sign}, then 2{gap}{sign} of it"
    for text in ("give it in N*m", "1 degree of freedom", "3 umbrellas", "2 1"):
        assert with_symbols(text) == text
