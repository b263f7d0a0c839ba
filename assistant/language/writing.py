"""Written forms on the keyboard, and a second listener's spelling, as words of the grammar."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from num2words import num2words

_NUMERAL = re.compile(r"(?<![\w.])(-?)(\d+(?:\.\d+)?|\.\d+)(?:/(\d+))?(?![\d/])")


def spoken_number(text: str, lang: str) -> str:
    """A plain decimal numeral in words, its fraction digit by digit."""
    whole, _, fraction = text.partition(".")
    words = num2words(int(whole or "0"), lang=lang).replace("-", " ").replace(",", "")
    if fraction:
        words += " point " + " ".join(num2words(int(d), lang=lang) for d in fraction)
    return str(words)


def to_words(
    text: str,
    lang: str,
    written: Sequence[tuple[str, str]],
    parts: Mapping[int, tuple[str, str]],
    minus: str,
) -> str:
    """``text`` in the grammar's words: numerals spelled out, unit signs and variants replaced."""

    def numeral(match: re.Match[str]) -> str:
        sign, number, over = match.groups()
        said = spoken_number(number, lang)
        if over is not None:
            names = parts.get(int(over))
            if names is None or Decimal(number) != int(Decimal(number)):
                return match.group()
            said += " " + names[0 if Decimal(number) == 1 else 1]
        return f" {minus + ' ' if sign else ''}{said} "

    result = f" {text.lower()} "
    result = re.sub(r"(\d)([a-z°])", r"\1 \2", result)
    for sign, words in written:
        result = re.sub(rf"(?<![\w]){re.escape(sign)}(?![\w])", words, result)
    result = _NUMERAL.sub(numeral, result)
    return " ".join(result.replace("-", " ").replace(",", " ").strip(" .!?").split())
