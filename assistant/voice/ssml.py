"""Spoken text as SSML (W3C Speech Synthesis Markup Language 1.1): pauses, emphasis, slow digits."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape  # that of xml.sax loads an HTTP client

from assistant.language.tone import Tone

# What XML 1.0 lets stand in a document (section 2.2); anything else would spoil it.
_NOT_XML = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_SENTENCES = re.compile(r"(?<=[.?!])\s+")

_BEFORE_DIGITS = '<break time="250ms"/>'
_BETWEEN_DIGITS = '<break time="80ms"/>'
_BETWEEN_CAUTIONS = '<break time="600ms"/>'


def sentences(text: str) -> list[str]:
    """``text`` cut after each full stop, question or exclamation mark that a space follows."""
    return [part for part in _SENTENCES.split(text.strip()) if part]


def digit_runs(digit_words: Iterable[str]) -> re.Pattern[str]:
    """Finds a value spelled out, as in ``forty newton meters, four zero.``

    ``digit_words`` are the words that values are spelled out with. The digits stand after a comma
    or colon and before the end of a phrase.
    """
    one_of = "|".join(re.escape(word) for word in sorted(digit_words, key=len, reverse=True))
    run = rf"(?:{one_of})(?: (?:{one_of}))+" if one_of else r"(?!)"
    return re.compile(rf"(?<=[,:] ){run}(?=[.,;:?!]|$)")


class Markup:
    """Turns text into SSML; ``digits`` finds what :func:`digit_runs` finds."""

    def __init__(self, digits: re.Pattern[str]) -> None:
        # The stop goes along: after a closing tag espeak-ng 1.51 reads it out as "dot" (measured).
        self._digits_and_stop = re.compile(digits.pattern + r"[.,;:?!]?")

    def __call__(self, text: str, tone: Tone = "plain") -> str:
        """``text`` as one SSML document; its words are the text's own, in their order."""
        clean = _NOT_XML.sub(" ", text)
        parts = [self._sentence(part, tone) for part in sentences(clean)]
        between = f" {_BETWEEN_CAUTIONS} " if tone == "caution" else " "
        return f"<speak>{between.join(parts)}</speak>"

    def _sentence(self, sentence: str, tone: Tone) -> str:
        marked = self._digits_and_stop.sub(_spelled_out, escape(sentence, quote=False))
        if tone == "caution" and " " not in sentence:  # the one word that opens a warning
            return f'<emphasis level="moderate">{marked}</emphasis>'
        return marked


def _spelled_out(found: re.Match[str]) -> str:
    words = f" {_BETWEEN_DIGITS} ".join(found[0].split(" "))
    return f'{_BEFORE_DIGITS} <prosody rate="85%">{words}</prosody>'
