"""What may be said now (:class:`ListenSpec`), and what it meant once heard (:data:`Meaning`).

The dialogue states a :class:`ListenSpec` for its state; the language package compiles it to a
JSGF grammar for the engine, interprets heard text against it, and samples it for tests.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from fractions import Fraction
from functools import cached_property

from assistant.quantities.amount import Indication


@dataclass(frozen=True)
class NumberSpec:
    """Bounds on a spoken quantity value, so that the grammar is as narrow as the step allows.

    ``units``: unit codes that may be spoken, the tool's own first. A number spoken without a
    unit is taken in ``units[0]``. ``max_decimals``: digits after the point, in ``units[0]``, to
    the gauge's resolution. ``low``/``high``: plausible magnitude in ``units[0]`` (None: open);
    the grammar only uses it to leave out whole orders of magnitude, never to hide a bad reading.
    """

    units: tuple[str, ...]
    max_decimals: int = 4
    low: Fraction | None = None
    high: Fraction | None = None
    signed: bool = False
    blades: bool = False  # "blade two goes", "four does not go"
    bounds: bool = False  # "less than", "more than"


@dataclass(frozen=True)
class ListenSpec:
    """Everything that may be said now.

    Attributes:
        commands: ids of commands defined in the language's ``commands`` data.
        reading: a quantity value after the carrier word ("reading one point five thou"), or a
            blade phrase; None when no measurement is awaited.
        digits: a value read back digit by digit ("one decimal five", "nine zero") is awaited.
        spelling: a serial or revision spelled with the spelling alphabet and digits.
        phrases: (id, spoken words) of options, fastener labels, names; words in lower case.
        spoken_values: as ``phrases``, each of them a value; trusted as a reading is, and too many
            to be named when the builder asks for help.
        after_spelling: as ``phrases``, of what may follow the spelling in the same breath.
    """

    commands: tuple[str, ...] = ()
    reading: NumberSpec | None = None
    digits: bool = False
    spelling: bool = False
    phrases: tuple[tuple[str, str], ...] = ()
    spoken_values: tuple[tuple[str, str], ...] = ()
    after_spelling: tuple[tuple[str, str], ...] = ()

    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        """Worked out once, as what was compiled for a spec is looked up for every word of it."""
        return hash(tuple(getattr(self, own.name) for own in fields(self)))


@dataclass(frozen=True)
class Command:
    """A command word was said; ``id`` as in the language's ``commands`` data."""

    id: str


@dataclass(frozen=True)
class Reading:
    """A quantity value or gauge observation was said."""

    indication: Indication


@dataclass(frozen=True)
class Digits:
    """A number said digit by digit, as written: ``1.5``, ``-2``, ``90``."""

    text: str


@dataclass(frozen=True)
class Spelling:
    """Characters spelled one by one, upper case: ``KB2C14``.

    ``then``: the id of the phrase that followed in the same breath; empty where none did.
    """

    text: str
    then: str = ""


@dataclass(frozen=True)
class Phrase:
    """One of the spec's own phrases was said."""

    id: str


Meaning = Command | Reading | Digits | Spelling | Phrase
