"""Places at which a value is taken: a list of positions, or a grid of two lists of names.

A place of a grid has a name of each list: ``main one upright``. An input of a computed value may
pick places by their names: ``rim.six``, ``mains.upright``, ``mains.one.upright``.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Annotated, Any, NamedTuple

from pydantic import BeforeValidator, Field, WithJsonSchema

from assistant.procedure.fields import Id, Text
from assistant.shown_text import id_in_words

POSITION = "position"
"""The name of the one axis of a plain list of positions."""

_NUMBERS = (
    "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
    "twenty",
)  # fmt: skip
_RANGE = re.compile(r"\s*([a-z]+) to ([a-z]+)\s*")
_RANGE_SCHEMA = {"type": "string", "pattern": "^[a-z]+ to [a-z]+$"}
_LIST_SCHEMA = {"type": "array", "items": {"type": "string", "minLength": 1}}


@dataclass(frozen=True)
class Axis:
    """One list of names: ``positions``, or one key of a grid."""

    name: str
    places: tuple[str, ...]


class Reference(NamedTuple):
    """Which step an input takes its value from, and the names that pick its places."""

    step: str
    picks: tuple[str, ...] = ()


Coordinates = Mapping[str, str]
"""The name of a place on each axis."""


def reference(text: str) -> Reference:
    """``mains.one.upright`` as the step and the names picked."""
    step, *picks = text.split(".")
    return Reference(step, tuple(pick.strip() for pick in picks))


def names(axes: Sequence[Axis]) -> tuple[str, ...]:
    """Every place in order, by the names of all its lists; no axis is the one nameless place."""
    return tuple(" ".join(spot.values()) for spot in spots(axes))


def spots(axes: Sequence[Axis]) -> list[dict[str, str]]:
    """Every place as its name on each axis."""
    return [
        dict(zip((axis.name for axis in axes), combination, strict=True))
        for combination in product(*(axis.places for axis in axes))
    ]


def picked(axes: Sequence[Axis], picks: Sequence[str]) -> dict[str, str]:
    """The axes that ``picks`` settle, each with its name.

    ``one`` picks ``main one`` of the axis ``main``.

    Raises:
        LookupError: a name that no axis has, or that an axis is given twice; it is the argument.
    """
    found: dict[str, str] = {}
    for pick in picks:
        hits = [
            (axis.name, place)
            for axis in axes
            for place in axis.places
            if pick in (place, place.removeprefix(id_in_words(axis.name)).strip())
        ]
        if not hits or hits[0][0] in found:
            raise LookupError(pick)
        found[hits[0][0]] = hits[0][1]
    return found


def chosen(axes: Sequence[Axis], picks: Sequence[str], at: Coordinates) -> tuple[str, ...]:
    """The places that ``picks`` leave, and of these those that lie at ``at``.

    Raises:
        LookupError: as :func:`picked`.
    """
    settled = {**at, **picked(axes, picks)}
    return tuple(
        " ".join(spot.values())
        for spot in spots(axes)
        if all(settled.get(axis, place) == place for axis, place in spot.items())
    )


def _listed(value: Any, word: str = "") -> Any:
    """``one to five`` as the names that it stands for, each behind ``word``."""
    if not isinstance(value, str):
        return value
    ends = _RANGE.fullmatch(value)
    if ends is None or not {*ends.groups()} <= {*_NUMBERS}:
        raise ValueError("Write a list, [front, rear], or a range in words, 'one to five'.")
    first, last = (_NUMBERS.index(end) for end in ends.groups())
    if first >= last:
        raise ValueError(f"'{value}' does not rise; write 'one to five'.")
    return [f"{word} {number}".strip() for number in _NUMBERS[first : last + 1]]


def _labelled(value: Any) -> Any:
    """``bolt one to sixteen`` as the labels that it stands for; one label alone stays one."""
    if not isinstance(value, str):
        return value
    word, _, first = value.partition(" to ")[0].rpartition(" ")
    last = value.partition(" to ")[2]
    if not word or not last:
        raise ValueError("Write a list, [bolt one, bolt two], or a range, 'bolt one to six'.")
    return _listed(f"{first} to {last}", word)


def _grid(value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    return {axis: _listed(places, id_in_words(str(axis))) for axis, places in value.items()}


PlaceNames = Annotated[
    tuple[Text, ...],
    BeforeValidator(_listed),
    WithJsonSchema({"anyOf": [_LIST_SCHEMA, _RANGE_SCHEMA]}),
]
"""A list of names, or ``one to five``."""

Labels = Annotated[
    tuple[Text, ...],
    BeforeValidator(_labelled),
    Field(min_length=1),
    WithJsonSchema(
        {
            "anyOf": [
                {**_LIST_SCHEMA, "minItems": 1},
                {"type": "string", "pattern": "^[a-z ]+ [a-z]+ to [a-z]+$"},
            ]
        }
    ),
]
"""A list of labels, or ``bolt one to sixteen``."""

Grid = Annotated[
    dict[Id, Annotated[tuple[Text, ...], Field(min_length=1)]],
    BeforeValidator(_grid),
    WithJsonSchema(
        {
            "type": "object",
            "additionalProperties": {"anyOf": [_LIST_SCHEMA, _RANGE_SCHEMA]},
            "maxProperties": 3,
        }
    ),
]
"""Lists of names by what they name; every place has a name of each."""

ValueSource = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*(\.[^.]+)*$", max_length=120)]
"""A step, and the names of places of it that are picked."""
