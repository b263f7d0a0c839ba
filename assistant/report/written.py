"""How quantities are written in records: exact, with the unit stated and a converted one."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Any

from pydantic import PlainSerializer, WithJsonSchema

from assistant.quantities.amount import Amount, Indication, format_number
from assistant.quantities.limits import Judgement, Limits

CONVERTED: dict[str, str] = {
    "in": "mm", "thou": "mm", "tenth": "mm", "mm": "in", "um": "in",
    "lbf*ft": "N*m", "lbf*in": "N*m", "N*m": "lbf*ft",
    "lbf": "N", "N": "lbf", "psi": "bar", "bar": "psi", "degF": "degC", "degC": "degF",
}  # fmt: skip
"""The other system's unit for each unit that has one."""


def converted(amount: Amount, unit: str | None = None) -> Amount | None:
    """``amount`` in the other system's unit, rounded to a tenth of its own resolution.

    The factors are exact; rounding (half to even) happens only where the decimals do not end.
    An amount without resolution is written to a thousandth of itself. None for units without a
    counterpart (angles, times, masses).
    """
    unit = CONVERTED.get(amount.unit) if unit is None else unit
    if unit is None:
        return None
    exact = amount.to(unit)
    if exact.resolution:
        finest = abs(exact.resolution) / 10
    else:
        finest = abs(exact.value) / 1000 or Fraction(1)
    places = 0
    while places < 9 and Fraction(1, 10**places) > finest:
        places += 1
    if (exact.value * 10 ** (places + 1)).denominator == 1:
        places += 1  # one digit more ends the number exactly: 0.0381 mm for 1.5 thou
    rounded = Fraction(round(exact.value * 10**places), 10**places)
    if rounded == exact.value:  # zeros would claim a digit that nobody read
        places = len(format_number(rounded).partition(".")[2])
    return Amount(rounded, unit, Fraction(1, 10**places))


def amount_json(amount: Amount) -> dict[str, Any]:
    """An amount as the JSON export writes it; numbers are strings, so that none is rounded."""
    other = converted(amount)
    return {
        "number": amount.number(),
        "unit": amount.unit,
        "converted": None if other is None else {"number": other.number(), "unit": other.unit},
    }


def _optional(amount: Amount | None) -> dict[str, Any] | None:
    return None if amount is None else amount_json(amount)


def _indication_json(one: Indication) -> dict[str, Any]:
    return {
        "relation": one.relation,
        "amount": amount_json(one.amount),
        "upper": _optional(one.upper),
        "text": str(one),
    }


def _limits_json(limits: Limits) -> dict[str, Any]:
    return {
        "lower": _optional(limits.lower),
        "upper": _optional(limits.upper),
        "text": str(limits),
    }


def _judgement_json(judged: Judgement) -> dict[str, Any]:
    return {
        "verdict": judged.verdict,
        "margin": _optional(judged.margin),
        "side": judged.side,
    }


_NUMBER = {"type": "string", "pattern": r"^-?\d+(\.\d+)?(/\d+)?$"}
_TEXT = {"type": "string"}


def _closed(**members: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": members,
        "required": list(members),
        "additionalProperties": False,
    }


def _or_null(schema: dict[str, Any]) -> dict[str, Any]:
    return {"anyOf": [schema, {"type": "null"}]}


_AMOUNT = _closed(
    number=_NUMBER, unit=_TEXT, converted=_or_null(_closed(number=_NUMBER, unit=_TEXT))
)
_RELATIONS = {"enum": ["eq", "lt", "le", "gt", "ge", "between"]}

AmountOut = Annotated[Amount, PlainSerializer(amount_json), WithJsonSchema(_AMOUNT)]
IndicationOut = Annotated[
    Indication,
    PlainSerializer(_indication_json),
    WithJsonSchema(
        _closed(relation=_RELATIONS, amount=_AMOUNT, upper=_or_null(_AMOUNT), text=_TEXT)
    ),
]
LimitsOut = Annotated[
    Limits,
    PlainSerializer(_limits_json),
    WithJsonSchema(_closed(lower=_or_null(_AMOUNT), upper=_or_null(_AMOUNT), text=_TEXT)),
]
JudgementOut = Annotated[
    Judgement,
    PlainSerializer(_judgement_json),
    WithJsonSchema(
        _closed(
            verdict={"enum": ["in", "out", "undecided"]},
            margin=_or_null(_AMOUNT),
            side=_or_null({"enum": ["lower", "upper"]}),
        )
    ),
]
