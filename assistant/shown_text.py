"""Text made fit to be shown: marks that act are written out, ids are put in words."""

from __future__ import annotations

import re
import unicodedata

# Marks that are not seen and turn the order of the text around, and the separators of lines
# (Unicode Technical Report 36, 2.7).
TURNED = frozenset("\u061c\u200e\u200f\u2028\u2029\u202a\u202b\u202c\u202d\u202e"
                   "\u2066\u2067\u2068\u2069")  # fmt: skip
# No character of a text: control codes, halves of characters, private and unassigned ones.
_NOT_TEXT = frozenset(("Cc", "Cs", "Co", "Cn"))
_BYTE_ORDER = "\ufeff"
# What nearly all text is made of: letters of the Latin script and the signs of a record.
_PLAIN = re.compile("[ -~\u00a0-\u024f\u2009\u2013\u201c\u201d\u2026\u2212\u2264\u2265]*")


def written_out(character: str) -> str:
    """The code of ``character``, as programmers write it: ``\\x1b``, ``\\u202e``."""
    code = ord(character)
    if code < 0x100:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def legible(text: str) -> str:
    """``text`` on one line, for paper and pages: what is not a character is written out.

    Line breaks and tabs become spaces.
    """
    if _PLAIN.fullmatch(text):
        return text
    return "".join(_shown(c) for c in text)


def id_in_words(name: str) -> str:
    """An id in words: ``lip_seal`` is ``lip seal``."""
    return name.replace("_", " ")


def place_alone(quantity: str, place: str) -> str:
    """``place`` behind its quantity, which a row of a log begins with: ``0:10``."""
    return place.removeprefix(f"{quantity} ")


def _shown(character: str) -> str:
    if character in "\n\t\r":
        return " "
    acts = character in TURNED or character == _BYTE_ORDER
    if acts or unicodedata.category(character) in _NOT_TEXT:
        return written_out(character)
    return character
