"""A state as JSON text and back, exactly: the same classes, numbers and order.

Only classes named here can come out of such a text, so reading one runs no code of its own.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from fractions import Fraction
from typing import Any

from pydantic import BaseModel

from assistant.dialogue import events, state
from assistant.quantities import amount, bench, limits

_MODULES = (state, amount, limits)
_RECORDS: dict[str, type[Any]] = {
    name: found
    for module in _MODULES
    for name, found in vars(module).items()
    if isinstance(found, type) and is_dataclass(found)
}
_MODELS: dict[str, type[BaseModel]] = {
    found.__name__: found for found in (events.Person, events.Revised, bench.Bench)
}


def to_plain(value: Any) -> Any:
    """``value`` in terms of JSON: every kind but text, number, truth and none is tagged.

    Raises:
        TypeError: it holds something that a state does not hold.
    """
    if value is None or isinstance(value, bool | int | str):
        return value
    if isinstance(value, Fraction):
        return {"fraction": [value.numerator, value.denominator]}
    if isinstance(value, tuple):
        return {"tuple": [to_plain(item) for item in value]}
    if isinstance(value, frozenset):
        return {"set": sorted(value)}
    if isinstance(value, Mapping):
        return {"map": [[key, to_plain(item)] for key, item in value.items()]}
    name = type(value).__name__
    if _MODELS.get(name) is type(value):
        return {"model": name, "body": value.model_dump(mode="json")}
    if _RECORDS.get(name) is type(value):
        return {"record": name, "body": {f.name: to_plain(getattr(value, f.name)) for f in
                                         fields(value)}}  # fmt: skip
    raise TypeError(f"A state does not hold a {name}.")


def from_plain(plain: Any) -> Any:
    """What :func:`to_plain` was given.

    Raises:
        ValueError, TypeError, KeyError: ``plain`` is not what it makes.
    """
    if not isinstance(plain, dict):
        return plain
    match plain:
        case {"fraction": [numerator, denominator]}:
            return Fraction(numerator, denominator)
        case {"tuple": [*items]}:
            return tuple(from_plain(item) for item in items)
        case {"set": [*items]}:
            return frozenset(items)
        case {"map": [*pairs]}:
            return {key: from_plain(item) for key, item in pairs}
        case {"model": name, "body": body}:
            return _MODELS[name].model_validate(body)
        case {"record": name, "body": dict(body)}:
            return _RECORDS[name](**{key: from_plain(item) for key, item in body.items()})
    raise ValueError("Not the text of a state.")
