"""Folds the flat tags of a spoken number into its exact value and stated resolution.

The tags are the same for every language:

- ``n:K`` adds a number word; ``x:K`` multiplies (hundred, thousand, a Korean ten thousand)
- ``d:K`` is one digit; ``double`` and ``triple`` repeat the digit that follows
- ``point`` starts the decimals; ``over:K`` makes a K-th of what its part has said so far
- ``and`` starts a part to be added; ``minus`` makes the whole negative
- ``lit:TEXT`` is a typed number
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction
from functools import cache


@dataclass(frozen=True)
class Number:
    """An exact value; ``resolution`` is None when it was not stated in decimals."""

    value: Fraction
    resolution: Fraction | None


@dataclass
class _Part:
    """One addend while its tags come in."""

    total: int = 0
    group: int = 0
    last: int = 0
    digits: str = ""
    decimals: str | None = None
    repeat: int = 1
    over: int = 1
    literal: Fraction | None = None
    literal_step: Fraction | None = Fraction(1)
    said: bool = field(default=False)

    def take(self, key: str, value: str) -> None:
        self.said = True
        match key:
            case "n":
                self.group += self.last
                self.last = int(value)
            case "x":
                self._multiply(int(value))
            case "d":
                run = value * self.repeat
                self.repeat = 1
                if self.decimals is None:
                    self.digits += run
                else:
                    self.decimals += run
            case "double":
                self.repeat = 2
            case "triple":
                self.repeat = 3
            case "point":
                self.decimals = ""
            case "over":
                self.over = int(value)
            case "lit":
                self.literal, self.literal_step = _literal(value)

    def _multiply(self, scale: int) -> None:
        # "three hundred": the last number word alone; "three hundred thousand": all so far.
        if self.group and scale > self.group:
            self.total += (self.group + self.last) * scale
            self.group = 0
        else:
            self.group += (self.last or 1) * scale
        self.last = 0

    def number(self) -> Number:
        if self.literal is not None:
            return Number(self.literal, self.literal_step)
        whole = int(self.digits) if self.digits else self.total + self.group + self.last
        decimals = self.decimals or ""
        tens = 10 ** len(decimals)
        value = Fraction(whole * tens + int(decimals or 0), tens * self.over)
        exact = self.over != 1 and set(str(self.over)) != {"1", "0"}
        # Halves and sixty-fourths state no decimal resolution; tenths and thousandths do.
        return Number(value, None if exact else _part_of_one(tens * self.over))


@cache
def _part_of_one(parts: int) -> Fraction:
    return Fraction(1, parts)


def fold_number(tags: Iterable[str]) -> Number | None:
    """The number that ``tags`` spell; None when they hold none. Other tags are passed over."""
    parts = [_Part()]
    negative = False
    for tag in tags:
        key, _, value = tag.partition(":")
        if key == "and":
            parts.append(_Part())
        elif key == "minus":
            negative = True
        elif key in ("n", "x", "d", "double", "triple", "point", "over", "lit"):
            parts[-1].take(key, value)
    numbers = [part.number() for part in parts if part.said]
    if not numbers:
        return None
    total = sum((n.value for n in numbers[1:]), numbers[0].value)
    steps = [n.resolution for n in numbers]
    known = [s for s in steps if s is not None]
    resolution = min(known) if len(known) == len(steps) else None
    return Number(-total if negative else total, resolution)


def fold_digits(tags: Iterable[str]) -> str:
    """A number said digit by digit, as written: ``1.5``, ``-2``, ``0.05``."""
    text, sign, repeat = "", "", 1
    for tag in tags:
        key, _, value = tag.partition(":")
        match key:
            case "minus":
                sign = "-"
            case "double":
                repeat = 2
            case "triple":
                repeat = 3
            case "d":
                text += value * repeat
                repeat = 1
            case "point":
                text += "." if text else "0."
            case "lit":
                text = value
    return sign + text


def fold_characters(tags: Iterable[str]) -> str:
    """Spelled characters joined: ``KB2C14``."""
    text, repeat = "", 1
    for tag in tags:
        key, _, value = tag.partition(":")
        match key:
            case "double":
                repeat = 2
            case "triple":
                repeat = 3
            case "char":
                text += value * repeat
                repeat = 1
    return text


def _literal(text: str) -> tuple[Fraction, Fraction | None]:
    """A typed number: ``1.50``, ``1/64`` or ``1+1/64``."""
    if "/" in text:
        whole, plus, part = text.rpartition("+")
        return Fraction(part) + (int(whole) if plus else 0), None
    value = Decimal(text)
    exponent = value.as_tuple().exponent
    places = -exponent if isinstance(exponent, int) and exponent < 0 else 0
    return Fraction(value), Fraction(1, 10**places)
