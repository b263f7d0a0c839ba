"""Spoken English numbers as figures, the way Whisper models write them: "1.5", "90", "1/64".

Only for scoring and for comparing two listeners' texts; what a text means is decided by the
language's grammar alone.
"""

from __future__ import annotations

from num2words import num2words

_UNITS = {num2words(n): n for n in range(20)} | {"oh": 0, "niner": 9}
_TENS = {num2words(n): n for n in range(20, 100, 10)}
NUMBER_WORDS = frozenset(_UNITS) | frozenset(_TENS) | {"hundred", "thousand", "point", "decimal"}
"""Words that numbers are made of."""


def in_figures(text: str) -> str:
    """``text`` with every run of number words as figures; other words stay.

    A digit after a digit is appended ("nine zero" gives 90), so is every digit after the point.
    """
    out: list[str] = []
    run: list[str] = []
    for word in (*text.split(), ""):
        if word in NUMBER_WORDS or (word == "and" and run and run[-1] == "hundred"):
            run.append(word)
            continue
        if run:
            out.append(_figures(run))
            run = []
        if word:
            out.append(word)
    return " ".join(out)


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
    """Whole number words as figures; groups that do not add up stand one after the other."""
    groups: list[int] = []
    room = 1  # the next number must be below this to be added to the group
    for word in run:
        if word == "and":
            continue
        if word in ("hundred", "thousand"):
            factor = 100 if word == "hundred" else 1000
            groups[-1:] = [(groups[-1] if groups else 1) * factor]
            room = factor
            continue
        value = _UNITS[word] if word in _UNITS else _TENS.get(word, 0)
        if groups and 0 < value < room:
            groups[-1] += value
        else:
            groups.append(value)
        room = 10 if word in _TENS else 1
    return "".join(str(g) for g in groups)
