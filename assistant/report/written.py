"""How quantities are written in records: exact, with the unit stated and a converted one."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import PlainSerializer, WithJsonSchema

from assistant.quantities.amount import Amount, Indication
from assistant.quantities.habit import converted
from assistant.quantities.limits import Judgement, Limits
from assistant.quantities.propagation import rounded

IN_SHORT = {
    "in": "in limits", "out": "OUT OF LIMITS", "undecided": "cannot tell", "no_limit": "no limit",
}  # fmt: skip
"""A verdict in the words of a transcript."""


def readable(amount: Amount) -> Amount:
    """``amount`` as a decimal: one that never ends, as a mean may be, to seven figures."""
    return rounded(amount, None)


def amount_json(amount: Amount) -> dict[str, Any]:
    """An amount as the JSON export writes it; numbers are strings, so that no reader rounds."""
    amount = readable(amount)
    other = converted(amount)
    return {
        "number": amount.number(),
        "unit": amount.unit,
        "converted": None if other is None else {"number": other.number(), "unit": other.unit},
    }


def difference_json(amount: Amount) -> dict[str, Any]:
    """A difference such as a margin, a resolution or an uncertainty, in the unit of one.

    2 degC of margin is 2 delta_degC, which is 3.6 delta_degF, not 35.6 degF.
    """
    return amount_json(amount.as_difference())


def _optional(amount: Amount | None) -> dict[str, Any] | None:
    return None if amount is None else amount_json(amount)


def _indication_json(one: Indication) -> dict[str, Any]:
    return {
        "relation": one.relation,
        "amount": amount_json(one.amount),
        "upper": _optional(one.upper),
        "lower_included": one.lower_included if one.relation == "between" else None,
        "upper_included": one.upper_included if one.relation == "between" else None,
        "said": _optional(one.said),
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
        "margin": None if judged.margin is None else difference_json(judged.margin),
        "side": judged.side,
    }


_NUMBER = {"type": "string", "pattern": r"^-?\d+(\.\d+)?$"}
_TEXT = {"type": "string"}
_TRUTH = {"type": "boolean"}


def _closed(**members: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": members,
        "required": list(members),
        "additionalProperties": False,
    }


def _or_null(schema: dict[str, Any]) -> dict[str, Any]:
    return {"anyOf": [schema, {"type": "null"}]}


def _named(schema: dict[str, Any], meaning: str) -> dict[str, Any]:
    """``schema`` with the meaning in the terms of the VIM (JCGM 200:2012)."""
    return {**schema, "description": meaning}


_AMOUNT = _named(
    _closed(number=_NUMBER, unit=_TEXT, converted=_or_null(_closed(number=_NUMBER, unit=_TEXT))),
    "Quantity value (VIM 1.19): numerical value (1.20) and measurement unit (1.9); 'converted' is "
    "the same in the other system's unit, rounded.",
)
_DIFFERENCE = _named(
    _AMOUNT,
    "A difference of quantity values (VIM 1.19), such as a resolution (4.14) or an expanded "
    "measurement uncertainty (2.35) with coverage factor (2.38) k = 2.",
)
_RELATIONS = {"enum": ["eq", "lt", "le", "gt", "ge", "between"]}

DifferenceOut = Annotated[Amount, PlainSerializer(difference_json), WithJsonSchema(_DIFFERENCE)]
AmountOut = Annotated[Amount, PlainSerializer(amount_json), WithJsonSchema(_AMOUNT)]
IndicationOut = Annotated[
    Indication,
    PlainSerializer(_indication_json),
    WithJsonSchema(
        _named(
            _closed(
                relation=_RELATIONS,
                amount=_AMOUNT,
                upper=_or_null(_AMOUNT),
                lower_included=_or_null(_TRUTH),
                upper_included=_or_null(_TRUTH),
                said=_or_null(_AMOUNT),
                text=_TEXT,
            ),
            "Indication (VIM 4.1) of the measuring instrument, or what a computation gave; "
            "one-sided or an interval where blades, plugs or rings were tried; 'said' is the "
            "amount as it was said, where that was in another unit than the gauge's.",
        )
    ),
]
LimitsOut = Annotated[
    Limits,
    PlainSerializer(_limits_json),
    WithJsonSchema(
        _named(
            _closed(lower=_or_null(_AMOUNT), upper=_or_null(_AMOUNT), text=_TEXT),
            "Permissible values of the measurand (VIM 2.3): tolerance limits (JCGM 106:2012, 3.3.4)"
            " as the procedure states them.",
        )
    ),
]
JudgementOut = Annotated[
    Judgement,
    PlainSerializer(_judgement_json),
    WithJsonSchema(
        _closed(
            verdict={"enum": ["in", "out", "undecided", "no_limit"]},
            margin=_or_null(_DIFFERENCE),
            side=_or_null({"enum": ["lower", "upper"]}),
        )
    ),
]
