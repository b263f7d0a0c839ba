"""The types of single fields of a procedure file, and the model that all its parts share.

Quantities are written as text with their unit (``1.5 thou``, ``14 lbf*ft``) and kept exact.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Annotated, Any

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    WithJsonSchema,
)

from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.fits import limits_of
from assistant.quantities.units import UNITS

_SHARE_PLACES = 6
_QUANTITY_LENGTH = 40  # longest text read as a quantity; keeps absurd digits out of the arithmetic
QUANTITY_PATTERN = r"^\s*[+-]?\d+(\.\d+)?(/\d+)?(?![\d./])\s*\S.*$"


def _read_amount(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    if len(value) > _QUANTITY_LENGTH:
        raise ValueError("The text is too long for a number and a unit; write '0.002 in'.")
    return parse_amount(value)


def _known_unit(code: str) -> str:
    if code not in UNITS:
        raise ValueError(f"'{code[:40]}' is not a known unit; use one of: {', '.join(UNITS)}.")
    return code


def _known_fit(name: str) -> str:
    limits_of(name)  # a FitError says what is wrong
    return name


def real_date(text: str) -> str:
    try:
        date.fromisoformat(text)
    except ValueError:
        raise ValueError(f"'{text}' is not a day of the calendar; write 2026-03-01.") from None
    return text


def _short_share(share: Decimal) -> Decimal:
    # As a fraction 1E-99999999 has a hundred million digits.
    exponent = share.as_tuple().exponent
    if not isinstance(exponent, int) or not -_SHARE_PLACES <= exponent <= _SHARE_PLACES:
        raise ValueError(f"It has more than {_SHARE_PLACES} decimal places; write 0.5.")
    return share


Quantity = Annotated[
    Amount,
    BeforeValidator(_read_amount),
    PlainSerializer(str, return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "pattern": QUANTITY_PATTERN}),
]
"""An :class:`Amount` written in a procedure as text."""

UnitCode = Annotated[
    str, AfterValidator(_known_unit), WithJsonSchema({"type": "string", "enum": list(UNITS)})
]
"""A unit code from ``assistant.quantities.units.UNITS``."""

FIT_PATTERN = (
    r"^\s*\d{1,3}(\.\d{1,3})?\s*(mm\s*)?[A-Za-z]{1,2}\d{1,2}(\s*/\s*[a-z]{1,2}\d{1,2})?\s*$"
)
FitName = Annotated[
    str,
    AfterValidator(_known_fit),
    WithJsonSchema({"type": "string", "pattern": FIT_PATTERN}),
]
"""A size with its tolerance class (``25 H7``), or a hole and a shaft (``25 H7/k6``): ISO 286-1."""

Share = Annotated[Decimal, AfterValidator(_short_share)]
"""A part of the target torque."""
Id = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$", max_length=60)]
_WORD = r"[^\u0000-\u0060\u007b-\u00bf]+"  # a to z, and the letters of other scripts
SPOKEN_PATTERN = rf"^{_WORD}( {_WORD}){{0,4}}$"
"""One to five words in small letters; in a form that pydantic and editors (JSON Schema) read."""
Text = Annotated[str, Field(min_length=1, max_length=2000)]


class Model(BaseModel):
    """Strict and frozen: a misspelt key is a fault, and a loaded procedure never changes."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)
