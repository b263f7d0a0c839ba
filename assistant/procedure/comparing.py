"""Comparisons that a condition asks of a value: ``below 0 mm``, exact at the limit."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, WithJsonSchema

from assistant.quantities.amount import Amount, parse_amount

_FORM = re.compile(r"\s*(below|above|at least|at most) (\S.*)")


def _read(text: str) -> tuple[str, Amount]:
    found = _FORM.fullmatch(text)
    if found is None:
        raise ValueError(f"'{text[:40]}' compares nothing; write 'below 0 mm' or 'at least 2 mm'.")
    return found.group(1), parse_amount(found.group(2))


def _known(text: str) -> str:
    _read(text)
    return text


Comparison = Annotated[
    str,
    AfterValidator(_known),
    WithJsonSchema({"type": "string", "pattern": "^(below|above|at least|at most) .+$"}),
]
"""``below``, ``above``, ``at least`` or ``at most`` a quantity."""


def limit_of(comparison: str) -> Amount:
    """The quantity that is compared with."""
    return _read(comparison)[1]


def compares(value: Amount, comparison: str) -> bool:
    """Whether ``comparison`` holds of ``value``.

    Raises:
        UnitError: they measure different things.
    """
    how, limit = _read(comparison)
    one, other = value.value, limit.to(value.unit).value
    return {
        "below": one < other,
        "above": one > other,
        "at least": one >= other,
        "at most": one <= other,
    }[how]
