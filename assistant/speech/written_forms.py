"""The ways in which a Whisper model may write a phrase of the grammar."""

from __future__ import annotations

import re

from assistant.speech.whisper_prompt import sentence
from assistant.speech.written_numbers import NUMBER_WORDS, in_figures

# Halves and quarters, as written after a whole number ("2.5") or alone ("0.5", "1/2").
_PARTS = (
    (r"(\d+) and (?:a|one) half\b", r"\1.5"),
    (r"(\d+) and (?:a|1) quarter\b", r"\1.25"),
    (r"(\d+) and 3 quarters?\b", r"\1.75"),
    (r"\b(?:an? |1 )?half (?:an? )?", "0.5 "),
    (r"\b(?:an? |1 )quarter (?:of )?(?:an? )?", "0.25 "),
    (r"\b3 quarters? (?:of )?(?:an? )?", "0.75 "),
    (r"\b(\d) hundredths\b", r"\g<1>00ths"),
    (r"\b(\d) thousandths\b", r"\g<1>000ths"),
)
_HUNDREDS = re.compile(r"(?<![\d.])([1-9])(?:0([1-9])|([1-9]\d))(?!\d)")
_SPOKEN = re.compile(r"\b(?:half|quarters?|\w+ths?|\w+dths?)\b")

_FEW = 3  # a small number among few words is written as a word: "bolt two"


def written_forms(text: str) -> tuple[str, ...]:
    """``text`` with figures; in words too where models waver; parts of one as decimals."""
    figures = in_figures(text)
    forms = [figures]
    parts = figures
    for pattern, replacement in _PARTS:
        parts = re.sub(pattern, replacement, parts)
    forms.append(parts.strip())
    forms.append(re.sub(r"(\d+\.\d+) thou$", r"\g<1>000", figures))  # "thou" taken for "thousand"
    words = text.split()
    digits = words[:1] and (words[0] in NUMBER_WORDS or words[0] == "minus")
    if digits or len(words) <= _FEW or _SPOKEN.search(text):
        forms.append(text)
    if " hundred and " in text:  # "100 and 88", where the speaker lingers
        forms.append(_HUNDREDS.sub(r"\g<1>00 and \g<2>\g<3>", figures))
    if digits and "." not in figures:
        forms.append(re.sub(r"(?<=\d)(?=\d)", " ", figures))  # digits said alone come out apart
    return tuple(dict.fromkeys(sentence(form) for form in forms))
