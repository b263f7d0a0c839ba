"""Values into words: numbers through num2words, digits and characters from the grammar data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from num2words import num2words

from assistant.quantities.amount import Amount, Indication, format_number

_ROUNDED = 6  # decimals said of a value that never ends


@dataclass(frozen=True)
class SpeechWords:
    """The language's words for values, as read from ``speech.yaml``.

    A unit's words may hold ``{number}`` where the language does not put the unit behind it, and a
    fraction's ``{top}`` where it does not put the denominator behind the numerator.
    """

    numerals: str
    minus: str
    point: str
    about: str
    joint: str
    says_zero: bool  # "zero point five", not "point five"
    amount: str
    with_digits: str
    indication: Mapping[str, str]
    units: Mapping[str, tuple[str, str]]
    fractions: Mapping[int, tuple[str, str]]
    fraction_units: frozenset[str]


class SpokenForms:
    """Says values in one language."""

    def __init__(
        self,
        words: SpeechWords,
        decimals: Mapping[str, str],
        digits: Mapping[str, str],
        characters: Mapping[str, str],
    ) -> None:
        """``decimals``: digits as said after the point; ``digits``: as said one by one."""
        self._words = words
        self._decimals = decimals
        self._digits = digits
        self._characters = characters

    def number(self, value: Fraction, decimals: int | None) -> str:
        """``value`` in words with at least ``decimals`` decimals, rounding only what never ends."""
        written = format_number(value, decimals)
        about = ""
        if "/" in written:
            scaled = round(value * 10**_ROUNDED)
            written = format_number(Fraction(scaled, 10**_ROUNDED))
            about = self._words.about + " "
        sign = self._words.minus + " " if written.startswith("-") else ""
        whole, _, part = written.lstrip("-").partition(".")
        spoken = [] if value and not int(whole) and not self._words.says_zero else [int(whole)]
        text = " ".join(map(self._cardinal, spoken))
        if part:
            text += f" {self._words.point} {self._one_by_one(part, self._decimals)}"
        return about + sign + text.strip()

    def amount(self, amount: Amount, digits: bool) -> str:
        """``amount`` with its unit; ``digits`` adds them one by one where they say more."""
        said = self._binary(amount) or self.number(amount.value, amount.decimals())
        value = self._with_unit(said, amount)
        written = amount.number()
        spelled = self.digits(written) if "/" not in written else said
        if not digits or spelled == said or said == self._binary(amount):
            return value
        return self._words.with_digits.format(value=value, digits=spelled)

    def indication(self, indication: Indication) -> str:
        """``indication`` with its bound in words."""
        amount, upper = indication.amount, indication.upper
        return self._words.indication[_kind(indication)].format(
            value=self.amount(amount, digits=False),
            number=self._binary(amount) or self.number(amount.value, amount.decimals()),
            upper="" if upper is None else self.amount(upper, digits=False),
        )

    def digits(self, written: str) -> str:
        """A written number digit by digit: ``1.50`` -> one point five zero."""
        return self._one_by_one(written, self._digits)

    def _one_by_one(self, written: str, words: Mapping[str, str]) -> str:
        marks = {**words, ".": self._words.point, "-": self._words.minus}
        return " ".join(marks.get(c, c) for c in written)

    def spelling(self, text: str) -> str:
        """Characters by the spelling alphabet; what it lacks is said as it is."""
        return " ".join(self._characters.get(c, c.lower()) for c in text.upper())

    def _cardinal(self, whole: int) -> str:
        return _cardinal(whole, self._words.numerals)

    def _binary(self, amount: Amount) -> str:
        """``three sixty fourths``, or nothing where the value is not such a fraction."""
        words = self._words
        below = amount.value.denominator
        if amount.resolution is not None or amount.unit not in words.fraction_units:
            return ""
        if below not in words.fractions or amount.value < 0:
            return ""
        whole, top = divmod(amount.value.numerator, below)
        part = _put("top", self._cardinal(top), words.fractions[below][0 if top == 1 else 1])
        return f"{self._cardinal(whole)} {words.joint} {part}" if whole else part

    def unit(self, code: str) -> str:
        """A unit in words, as of several."""
        return " ".join(self._words.units[code][1].replace("{number}", "").split())

    def _with_unit(self, said: str, amount: Amount) -> str:
        one, several = self._words.units[amount.unit]
        exactly_one = abs(amount.value) == 1 and not amount.decimals()
        fraction = bool(self._binary(amount)) and amount.value < 1
        unit = one if exactly_one or fraction else several
        if "{number}" in unit:
            return unit.format(number=said)
        return self._words.amount.format(number=said, unit=unit).strip()


def _kind(indication: Indication) -> str:
    """The key of the words for an indication; of an interval it says which ends are in it."""
    if indication.relation != "between":
        return indication.relation
    low, high = indication.lower_included, indication.upper_included
    if low and not high:
        return "between"
    return f"between_{'from' if low else 'over'}_{'to' if high else 'under'}"


def _put(place: str, said: str, words: str) -> str:
    """``said`` where ``words`` has its place, else before them."""
    return words.format(**{place: said}) if f"{{{place}}}" in words else f"{said} {words}"


@lru_cache(maxsize=4096)
def _cardinal(whole: int, numerals: str) -> str:
    return str(num2words(whole, lang=numerals)).replace("-", " ").replace(",", "")
