"""Short ways to write amounts and limits in the tests of this room."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from assistant.quantities.amount import Amount, Indication, parse_amount
from assistant.quantities.limits import Limits

a = parse_amount


def exactly(text: str) -> Indication:
    """The indication ``=`` the written amount ``text``."""
    return Indication("eq", parse_amount(text))


def limits(lower: str | None, upper: str | None) -> Limits:
    return Limits(None if lower is None else a(lower), None if upper is None else a(upper))


def thou(count: int | Fraction, parts: int = 1) -> Amount:
    return Amount(Fraction(count) / parts, "thou")


tenths = st.integers(-200, 200).map(lambda n: Amount(Fraction(n, 10), "thou", Fraction(1, 10)))
