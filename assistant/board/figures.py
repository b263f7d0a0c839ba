"""Amounts as the board shows them: digits and unit symbols, never rounded unnoticed."""

from __future__ import annotations

from fractions import Fraction

from assistant.board.view import Limit
from assistant.board.words import BoardWords
from assistant.quantities.amount import Amount, Indication, in_tool_unit
from assistant.quantities.limits import Limits
from assistant.quantities.symbols import RELATIONS, symbol


def number(amount: Amount) -> str:
    """The number alone. A mean such as 31/3 is shown as a decimal behind ``≈``."""
    written = amount.number()
    if "/" not in written or _is_inch_fraction(amount.value):
        return written.replace("-", "\N{MINUS SIGN}")
    near = f"{float(amount.value):.4f}".replace("-", "\N{MINUS SIGN}")
    return f"≈ {near}"


def _is_inch_fraction(value: Fraction) -> bool:
    # Sixty-fourths are what a rule carries (common practice, no source).
    return 64 % value.denominator == 0


def amount_text(amount: Amount) -> str:
    """Number and symbol."""
    return f"{number(amount)} {symbol(amount.unit)}".strip()


def indication_text(indication: Indication, unit: str, words: BoardWords) -> tuple[str, str]:
    """(number, symbol) of an indication in the gauge's ``unit``, where that is a decimal."""
    shown = in_tool_unit(indication.amount, unit)
    if indication.upper is None:
        return RELATIONS[indication.relation] + number(shown), symbol(shown.unit)
    upper = indication.upper.to(shown.unit)
    low = number(shown) if indication.lower_included else f"> {number(shown)}"
    high = number(upper) if indication.upper_included else f"< {number(upper)}"
    return words("range", lower=low, upper=high), symbol(shown.unit)


def limit_lines(limits: Limits, words: BoardWords) -> tuple[Limit, ...]:
    """The limits exactly as the procedure states them; none where there are none."""
    ends = (("min", limits.lower), ("max", limits.upper))
    return tuple(
        Limit(words("limit_" + which), number(end), symbol(end.unit))
        for which, end in ends
        if end is not None
    )
