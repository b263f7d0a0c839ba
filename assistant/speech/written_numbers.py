"""Spoken English numbers as figures, the way Whisper models write them: "1.5", "90", "00111".

Only for scoring and for comparing two listeners' texts; what a text means is decided by the
language's grammar alone.
"""

from __future__ import annotations

import re
from itertools import zip_longest

from num2words import num2words

_UNITS = {num2words(n): n for n in range(20)} | {"oh": 0, "o": 0, "niner": 9}
DIGITS = frozenset(num2words(n) for n in range(10)) | {"oh"}
"""Words that stand for a digit, as the models write them."""
_TIMES = {"double": 2, "triple": 3}
_TENS = {num2words(n): n for n in range(20, 100, 10)}
_SCALES = {"hundred": 100, "thousand": 1000}
_ADDING_UP = frozenset(_UNITS) | frozenset(_TENS) | frozenset(_SCALES) | {"point", "decimal"}
NUMBER_WORDS = _ADDING_UP | frozenset(_TIMES)
"""Words that numbers are made of."""


_ADDED = re.compile(r"(?<![\d.])([1-9]00) and ([1-9]\d?)(?![\d./])")


def in_figures(text: str) -> str:
    """``text`` with every run of number words as figures; other words stay.

    A digit after a digit is appended ("nine zero" gives 90), so is every digit after the point;
    "double one" gives 11, and "100 and 88", as models write where a speaker lingers, 188.
    """
    out: list[str] = []
    run: list[str] = []
    for word in (*_repeated(text.split()), ""):
        if word in _ADDING_UP or (word == "and" and run and run[-1] in _SCALES):
            run.append(word)
            continue
        if run:
            joins = run.pop() if run[-1] == "and" else ""  # "one hundred and a half"
            out += filter(None, (_figures(run), joins))
            run = []
        if word:
            out.append(word)
    return _ADDED.sub(lambda m: str(int(m[1]) + int(m[2])), " ".join(out))


def in_words(text: str) -> str:
    """``text`` with every number in figures said in words, as a mechanic would most likely.

    "43.401" is "forty three point four zero one"; what is no plain number stays as it is.
    """
    return " ".join(_said(w) if _PLAIN.fullmatch(w) else w for w in text.split())


def ways_to_say(text: str) -> tuple[str, ...]:
    """``text`` with its figures in words, in the ways a mechanic may have said them.

    "90" is "ninety" or "nine zero"; "1/2" is "half", "half a", "one half"; "2 1/2" and "2.5" may
    be "two and a half". Which of them makes sense is for the grammar to say.
    """
    ways = [in_words(text), _digit_by_digit(text)]
    for pattern, said in _PARTS:
        ways += [in_words(re.sub(pattern, way, text)) for way in said if re.search(pattern, text)]
    return tuple(dict.fromkeys(ways))


def _digit_by_digit(text: str) -> str:
    spelt = re.sub(r"(?<=[\d.])(?=[\d.])", " ", text)
    return " ".join("point" if w == "." else in_words(w) for w in spelt.split())


_PARTS = (
    (r"(\d+)(?: 1/2|\.50*)(?!\d)", (r"\1 and a half",)),
    (r"(\d+) 1/4", (r"\1 and a quarter",)),
    (r"(\d+) 3/4", (r"\1 and three quarters",)),
    (r"(?<!\S)(?:1/2|0?\.50*)(?!\S)", ("half", "half a", "half an", "one half", "a half")),
    (r"(?<!\S)(?:1/4|0?\.250*)(?!\S)", ("a quarter", "one quarter", "a quarter of a")),
    (r"(?<!\S)(?:3/4|0?\.750*)(?!\S)", ("three quarters", "three quarters of a")),
    (r"(\d+)/8", (r"\1 eighths", r"\1 eighth")),
    (r"(\d+)/16", (r"\1 sixteenths", r"\1 sixteenth")),
    (r"(\d+)/32", (r"\1 thirty seconds", r"\1 thirty second")),
    (r"(\d+)/64", (r"\1 sixty fourths", r"\1 sixty fourth")),
    (r"(?<![\d.])(\d)[.,]?00ths?\b", (r"\1 hundredths", r"\1 thousandths")),
    (r"(\d)[.,]?000ths?\b", (r"\1 thousandths",)),
)
"""Fractions in figures, and how they are said: common practice, no source."""

_PLAIN = re.compile(r"\d{0,6}(?:\.\d+)?(?<!^)")


def _said(figures: str) -> str:
    whole, _, decimals = figures.partition(".")
    said: list[str] = []
    if whole and (whole == "0" or whole[0] != "0"):
        said = num2words(int(whole)).replace("-", " ").replace(",", "").split()
    else:
        said = [num2words(int(digit)) for digit in whole]
    if decimals:
        said += ["point", *(num2words(int(digit)) for digit in decimals)]
    return " ".join(said)


def _repeated(words: list[str]) -> list[str]:
    """``words`` with "double one" as "one one"."""
    out: list[str] = []
    for word, following in zip_longest(words, words[1:], fillvalue=""):
        digit = following in _UNITS and _UNITS[following] < 10
        if word in _TIMES and digit:
            out += [following] * (_TIMES[word] - 1)
        else:
            out.append(word)
    return out


def _figures(run: list[str]) -> str:
    whole, fraction = run, None
    for sign in ("point", "decimal"):
        if sign in run:
            at = run.index(sign)
            whole, fraction = run[:at], run[at + 1 :]
            break
    text = _whole(whole)
    if fraction is None:
        return text
    return f"{text or '0'}.{''.join(str(_UNITS.get(w, w)) for w in fraction)}"


def _whole(run: list[str]) -> str:
    """Whole number words as figures; parts that do not add up stand one after the other."""
    for scale in ("thousand", "hundred"):
        if scale in run:
            at = run.index(scale)
            factor = _SCALES[scale]
            above = str(int(_whole(run[:at]) or "1") * factor)
            below = _whole(run[at + 1 :])
            if not below or int(below) >= factor:
                return above + below
            return str(int(above) + int(below))
    out = ""
    room = False  # a unit may still be added to the tens before it
    for word in run:
        if word == "and":
            continue
        value = _UNITS[word] if word in _UNITS else _TENS[word]
        out = out[:-1] + str(value) if room and 0 < value < 10 else out + str(value)
        room = word in _TENS
    return out
