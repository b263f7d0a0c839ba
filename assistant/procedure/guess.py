"""Reads the figures that a sentence of a manual states.

It only saves typing: what the sentence does not say is left as TODO, which the linter rejects, so
that nothing guessed reaches the bench unread.
"""

from __future__ import annotations

import re

from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.fits import FitError, limits_of
from assistant.quantities.units import UNITS, UnitError, same_dimension

# Ways in which manuals print units, each with our code.
_PRINTED = {
    "cN*m": r"cN\s?[·.*]?\s?m|centinewton[ -]?met(?:re|er)s?",
    "ozf*in": r"(?:ozf?|ounce)[ ·.*-]?in(?:ch(?:es)?)?|in(?:ch)?[ ·.*-]?(?:ozf?|ounces?)",
    "N*m": r"N\s?[·.*]?\s?m|newton[ -]?met(?:re|er)s?",
    "lbf*ft": r"(?:lbf?|pound)s?[ ·.*-]?(?:ft|f(?:oo|ee)t)"
    r"|(?:ft|f(?:oo|ee)t)[ ·.*-]?(?:lbf?|pound)s?",
    "lbf*in": r"(?:lbf?|pound)s?[ ·.*-]?in(?:ch(?:es)?)?|in(?:ch)?[ ·.*-]?(?:lbf?|pound)s?",
    "kN": r"kN|kilonewtons?",
    "MPa": r"MPa|megapascals?",
    "bar": r"bar",
    "psi": r"psi",
    "l/min": r"l/min|lit(?:re|er)s? per minute",
    "degC/min": r"(?:°\s?C|K)/min|(?:degrees? C(?:elsius)?|kelvins?) (?:per|a) minute",
    "degC/h": r"(?:°\s?C|K)/h|(?:degrees? C(?:elsius)?|kelvins?) (?:per|an) hour",
    "degF/min": r"°\s?F/min|degrees? F(?:ahrenheit)? (?:per|a) minute",
    "degF/h": r"°\s?F/h|degrees? F(?:ahrenheit)? (?:per|an) hour",
    "rpm": r"rpm|rev/min|revolutions? per minute",
    "mm/m": r"mm/m|millimet(?:re|er)s? per met(?:re|er)",
    "thou": r"thou|mils?",
    "um": r"µm|μm|um|microns?",
    "mm": r"mm|millimet(?:re|er)s?",
    "in": r"in\.?|inch(?:es)?|\"",
    "degC": r"°\s?C|degrees? C(?:elsius)?",
    "deg": r"°(?!\s?[CF])|deg(?:rees?)?(?!\s?[CF])",
    "h": r"h|hours?|hrs?",
    "min": r"min(?:ute)?s?",
    "s": r"s(?:ec(?:ond)?s?)?",
}
_UNIT = "|".join(f"(?P<u{i}>{pattern})" for i, pattern in enumerate(_PRINTED.values()))
_NUMBER = r"[+-]?(?:\d+(?:\.\d+|/\d+)?|\.\d+)"
# Another unit than it seems: "5 mm/s", "5 min-1", "3 in H2O".
_MORE_OF_IT = r"(?![A-Za-z]|\s*[/^²³⁻]|-\d|\s?[·*⋅]|\s?(?:H2O|H₂O|Hg|WC)\b)"
_FIGURE = (
    rf"(?P<low>{_NUMBER})\s*(?:(?P<sep>to|and|-|–|\.\.\.?|…)\s*(?P<high>{_NUMBER})\s*)?"
    rf"(?:{_UNIT}){_MORE_OF_IT}"
)
# What stands before a figure that is only the end of one: "12,5", "1 500", "2 1/2", "5e1".
_END_OF_ONE = re.compile(r"(?:\d[.,'’]|\d\s+|[\d/^]|\d[eE]|[x×]\s?10)$")
# Before one that is no size of its own: a tolerance, a thread's length, a version.
_OF_ANOTHER = re.compile(r"(?:±|\+/-|\+-)\s*$|[^\W\d_]$|[x×*]\s*$")
_BETWEEN = re.compile(r"\bbetween\s+$", re.I)
_TO, _AND = re.compile(r"\s*(?:to|-|–|\.\.\.?|…)\s*"), re.compile(r"\s*and\s*")
_UPPER = re.compile(
    r"\b(at most|max(imum)?|no (more|faster) than|not (faster|over)|under|less than|up to)\b",
    re.I,
)
_LOWER = re.compile(r"\b(at least|min(imum)?|no less than|not under)\b", re.I)
RATES = frozenset({"degC/min", "degC/h", "degF/min", "degF/h"})
TORQUES, TIMES = (
    frozenset(unit for unit in UNITS if same_dimension(unit, "N*m")),
    frozenset({"h", "min", "s"}),
)


# Letters of usual fits (ISO 286-2 lists sizes for them): M is left out of single holes, since
# "4 M8" are screws, and A to C, since "4 A2" are stainless ones.
_HOLE, _SHAFT = r"(?:JS|[D-HJKNPRSU])\d{1,2}", r"(?:js|[d-hjkmnprsu])\d{1,2}"
_FIT = re.compile(
    r"(?<![\w.])[\u00d8\u2300]? ?(?P<size>\d{1,3}(?:\.\d+)?) ?(?:mm )?"
    rf"(?P<fit>(?:{_HOLE}|M\d{{1,2}})/{_SHAFT}|(?:{_HOLE}|{_SHAFT})(?![\w/-]))"
)


def fit(sentence: str) -> str | None:
    """A size in ``sentence`` with its tolerance class, ``25 k6``, or its fit, ``25 H7/k6``."""
    for found in _FIT.finditer(sentence):
        name = f"{found.group('size')} {found.group('fit')}"
        try:
            limits_of(name)
        except FitError:
            continue
        return name
    return None


def figures(sentence: str) -> list[tuple[Amount, Amount | None]]:
    """Quantities in ``sentence``, in order: (value, None) or the two ends of a range.

    None of a sentence that has a number in it which may be read in two ways, such as "12,5 mm":
    a part of it must not be taken for the whole, nor what stands behind it for what is meant.
    """
    sentence = sentence.replace("−", "-")
    found: list[tuple[Amount, Amount | None]] = []
    begins = ends = 0  # of the figure before, where that may be the lower end of a range
    codes = list(_PRINTED)
    for match in re.finditer(_FIGURE, sentence):  # slow to compile, and only the starter needs it
        index = next(i for i in range(len(codes)) if match.group(f"u{i}") is not None)
        unit, before = codes[index], sentence[: match.start()]
        if _END_OF_ONE.search(before):
            return []
        if _OF_ANOTHER.search(before):
            continue
        try:
            low = parse_amount(f"{_written(match.group('low'))} {unit}")
            upper = match.group("high")
            high = parse_amount(f"{_written(upper)} {unit}") if upper else None
        except UnitError:
            continue
        between = _BETWEEN.search(before) is not None
        if high is not None and match.group("sep") == "and" and not between:
            low, high = high, None  # "studs 3 and 4 mm"
        if high is None and ends and _joined(sentence, begins, sentence[ends : match.start()]):
            first, _ = found[-1]
            if first.unit == low.unit:  # "0.05 mm to 0.12 mm"
                found[-1], ends = (first, low), 0
                continue
        found.append((low, high))
        begins, ends = (match.start(), match.end()) if high is None else (0, 0)
    return found


def _written(number: str) -> str:
    """A number as our amounts are written: ".002" with its zero."""
    return number.replace(".", "0.", 1) if number.lstrip("+-").startswith(".") else number


def _joined(sentence: str, begins: int, words: str) -> bool:
    """Whether ``words`` make a range of the figure that begins there and of the one after them."""
    if _AND.fullmatch(words):
        return _BETWEEN.search(sentence[:begins]) is not None
    return _TO.fullmatch(words) is not None


_COUNTS = {
    "an?": "1", "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6",
    "eight": "8", "ten": "10", "twelve": "12", "fifteen": "15", "twenty": "20", "thirty": "30",
}  # fmt: skip
_HALF_HOUR = re.compile(r"\bhalf (an |a )?hours?\b", re.I)
_COUNTED = re.compile(rf"\b({'|'.join(_COUNTS)})(?= (?:hours?|minutes?)\b)", re.I)


def times_in_digits(sentence: str) -> str:
    """``sentence`` with "an hour", "half an hour" and "four hours" as figures."""
    plain = _HALF_HOUR.sub("30 min", sentence)

    def count(match: re.Match[str]) -> str:
        word = match.group(1).lower()
        return _COUNTS["an?" if word in ("a", "an") else word]

    return _COUNTED.sub(count, plain)


def torque(sentence: str) -> Amount | None:
    """The torque in ``sentence``; None when there is none or it is a range."""
    return next((a for a, b in figures(sentence) if a.unit in TORQUES and b is None), None)


def turns(sentence: str) -> list[Amount]:
    """The angles in ``sentence`` that are no range, in order."""
    return [a for a, b in figures(sentence) if a.unit == "deg" and b is None]


def torques(sentence: str) -> list[Amount]:
    """The torques in ``sentence`` that are no range, in order."""
    return [a for a, b in figures(sentence) if a.unit in TORQUES and b is None]


def duration(sentence: str) -> Amount | None:
    """The time in ``sentence``; None when there is none or it is a range."""
    return next((a for a, b in figures(sentence) if a.unit in TIMES and b is None), None)


_WITHIN = re.compile(r"\bwithin\b", re.I)


def longest(sentence: str) -> Amount | None:
    """The time within which a sentence tells to do something; None where it states none."""
    plain = times_in_digits(sentence)
    found = _WITHIN.search(plain)
    return None if found is None else duration(plain[found.end() :])


def limits(sentence: str) -> tuple[Amount | None, Amount | None]:
    """(lower, upper) of the first size in ``sentence``; both None when it is a bare value."""
    for low, high in figures(sentence):
        if low.unit in TIMES or low.unit == "deg":
            continue
        if high is not None:
            return low, high
        if _UPPER.search(sentence):
            return None, low
        if _LOWER.search(sentence):
            return low, None
    return None, None
