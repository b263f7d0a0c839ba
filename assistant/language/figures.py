"""Figures of torque and angle in running text: a procedure's own sentences, written or spoken.

They are read by the same grammar that hears readings, so whatever can be said is found: figures,
number words, unit symbols and words.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from assistant.language.language import Language
from assistant.language.spec import ListenSpec, NumberSpec, Reading
from assistant.quantities.amount import Amount
from assistant.quantities.units import UNITS, same_dimension

# A spec for each kind of quantity, of which the first that fits counts. The temperatures are there
# so that "eighty degrees Celsius" is not taken for an angle.
_TORQUES = tuple(unit for unit in UNITS if same_dimension(unit, "N*m"))
_TEMPERATURES = ("degC", "degF")
_SPECS = tuple(
    ListenSpec(reading=NumberSpec(units=units, max_decimals=4))
    for units in (_TORQUES, ("deg",), _TEMPERATURES)
)
_SENTENCE = re.compile(r"(?<=[.;:!?])\s+")
_JOINED = re.compile(r"(?<=[^\W\d_])[·*.⋅×∙•‧∘‐‑-](?=[^\W\d_])")
_GLUED = re.compile(r"(?<=\d)(?=[^\W\d_]|°)")
_BETWEEN = re.compile(r"(?<=\d)\s*([-–—±]|\+/-)\s*(?=\d)")  # of two numbers the last has the unit
_EDGES = ".,;:!?()[]\"'"
_FULL_WIDTH = ord("！") - ord("!")
_LONGEST = 12  # words of a number with its unit
_UNIT_WORDS = 4
_PART_OF_A_TURN = "turn of "


@dataclass(frozen=True)
class SpokenFigure:
    """A figure in ``sentence`` as ``written``; ``amount`` is None in a unit that is not known."""

    written: str
    amount: Amount | None
    sentence: str

    @property
    def torque(self) -> bool:
        """Whether it is a torque, and not an angle."""
        return self.amount is None or same_dimension(self.amount.unit, "N*m")


def figures(language: Language, text: str) -> tuple[SpokenFigure, ...]:
    """Every figure with a unit of torque or angle in ``text``, sentence by sentence."""
    return tuple(f for s in _SENTENCE.split(text) for f in _kept(language, s))


def speaks_of(language: Language, text: str, *subjects: str) -> bool:
    """Whether a word of ``text`` begins as those of a subject in ``figures.yaml`` do."""
    beginnings = tuple(w for subject in subjects for w in language.sources.figures.get(subject, ()))
    return any(word.startswith(beginnings) for word in _words(text.lower()))


def _plain(text: str) -> str:
    """``text`` without characters that are not seen, its digits and full-width letters as ASCII."""
    return "".join(_plain_character(c) for c in text if unicodedata.category(c) != "Cf")


def _plain_character(c: str) -> str:
    digit = unicodedata.decimal(c, None)
    if digit is not None:
        return str(digit)
    if c in "º˚":
        return "°"
    return chr(ord(c) - _FULL_WIDTH) if "！" <= c <= "～" else c


def _words(text: str) -> list[str]:
    text = _plain(text)
    plain = _GLUED.sub(" ", _JOINED.sub(" ", _BETWEEN.sub(r" \1 ", text)))
    return [word for raw in plain.split() if (word := raw.strip(_EDGES))]


@lru_cache(maxsize=4096)  # a procedure is checked again after each change, and most stay the same
def _kept(language: Language, sentence: str) -> tuple[SpokenFigure, ...]:
    return (*_in_sentence(language, sentence), *_parts_of_a_turn(language, sentence))


def _parts_of_a_turn(language: Language, sentence: str) -> Iterator[SpokenFigure]:
    """A quarter turn is an angle too; it does not by itself make a sentence one about turning."""
    words = " ".join(_words(sentence)).lower()
    for key, phrases in language.sources.figures.items():
        if not key.startswith(_PART_OF_A_TURN):
            continue
        for phrase in phrases:
            if f" {phrase} " in f" {words} ":
                angle = Amount(Fraction(key.removeprefix(_PART_OF_A_TURN)), "deg")
                yield SpokenFigure(phrase, angle, words.replace(phrase, ""))


def _in_sentence(language: Language, sentence: str) -> Iterator[SpokenFigure]:
    words = _words(sentence)
    place = 1
    while place < len(words):
        for size in range(min(_UNIT_WORDS, len(words) - place), 0, -1):
            unit = _unit(language, words[place : place + size])
            if unit is None:
                continue
            found = _before(language, words[:place], unit)
            if found is None and _unread(language, words[place - 1], unit):
                written = " ".join(words[place - 1 : place + size])
                yield SpokenFigure(written, None, sentence)
            elif found is not None and found[1].unit not in _TEMPERATURES:
                length, amount = found
                written = " ".join(words[place - length : place + size])
                known = unit not in _foreign(language)
                yield SpokenFigure(written, amount if known else None, sentence)
            place += size - 1
            break
        place += 1


def _before(language: Language, words: list[str], unit: str) -> tuple[int, Amount] | None:
    """Of how many words the longest number is that ends ``words``, and its amount of ``unit``."""
    stated = "N*m" if unit in _foreign(language) else unit
    for length in range(min(_LONGEST, len(words)), 0, -1):
        number = " ".join(words[-length:])
        amount = _reads(language, f"{number} {stated}")
        if amount is not None:
            return length, amount
    return None


def _unread(language: Language, word: str, unit: str) -> bool:
    """Whether ``word`` before a unit of torque is a figure that can be read in two ways or none.

    As in "4,5 Nm" or "5e1 Nm": whatever is meant, the builder would hear it.
    """
    if not any(c.isdecimal() for c in word):
        return False
    one = None if unit in _foreign(language) else _reads(language, f"1 {unit}")
    return unit in _foreign(language) or (one is not None and same_dimension(one.unit, "N*m"))


def _unit(language: Language, words: list[str]) -> str | None:
    """The unit that ``words`` are and no part of a number, without a particle at its end."""
    text = " ".join(words).lower()
    if not all(_may_be_in_unit(language, word) for word in words):
        return None  # as most words of a sentence: the grammar need not be asked
    ends = [e for e in language.sources.figures.get("particles", ()) if text.endswith(e)]
    if not any(c.isalpha() or c == "°" for c in text):
        return None
    for unit in (text, *(text.removesuffix(end) for end in ends)):
        one = _reads(language, f"1 {unit}")
        if unit in _foreign(language) or (unit and one is not None and one.value == 1):
            return unit
    return None


@lru_cache(maxsize=8192)
def _may_be_in_unit(language: Language, word: str) -> bool:
    """False only of a word that no unit has in it, with a particle or without."""
    figures = language.sources.figures
    ends = ("", *figures.get("particles", ()))
    plain = {word.removesuffix(end) for end in ends} | {word.lower().removesuffix(e) for e in ends}
    foreign = {part for unit in _foreign(language) for part in unit.split()}
    return bool(plain & foreign) or any(
        language.may_have(spec, one) for one in plain for spec in _SPECS
    )


def _foreign(language: Language) -> tuple[str, ...]:
    return language.sources.figures.get("foreign_torque", ())


@lru_cache(maxsize=8192)
def _reads(language: Language, text: str) -> Amount | None:
    """The amount that ``text`` states as a whole; None when it is none, or may be two."""
    if language.two_numbers(text):
        return None
    said = language.prompt("reading_phrase", value=text.lower())
    for spec in _SPECS:
        meanings = language.interpret(spec, said)
        amounts = {m.indication.amount for m in meanings if isinstance(m, Reading)}
        if amounts:
            return next(iter(amounts)) if len(amounts) == 1 else None
    return None
