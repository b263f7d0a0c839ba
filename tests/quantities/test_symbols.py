"""Units as they are printed and shown."""

from __future__ import annotations

from assistant.quantities.amount import parse_amount
from assistant.quantities.limits import Limits
from assistant.quantities.symbols import symbol
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
