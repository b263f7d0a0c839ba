"""Lexical part of JSGF, after the JSpeech Grammar Format (W3C Note, 5 June 2000)."""

from __future__ import annotations

import re
from dataclasses import dataclass

from assistant.language.tree import GrammarError

# The standard writes the header in capitals; files in circulation have it in any case.
_HEADER = re.compile(r"\ufeff?#JSGF[ \t]+V1\.0(?:[ \t]+[^\s;]+){0,2}[ \t]*;", re.IGNORECASE)
_PIECES = re.compile(
    r"""(?P<space>\s+)
      | (?P<comment>//[^\n]*|/\*.*?\*/)
      | (?P<rule><[^<>;=|*+()\[\]{}"/\s]+(?:\.\*)?>)
      | (?P<weight>/\s*[0-9]*\.?[0-9]+(?:[eE][+-]?[0-9]+)?[fF]?\s*/)
      | (?P<tag>\{(?:\\.|[^\\{}])*\})
      | (?P<quoted>"(?:\\.|[^"\\])*")
      | (?P<mark>[;=|()\[\]*+])
      | (?P<word>[^;=|*+<>()\[\]{}"/\s]+)""",
    re.VERBOSE | re.DOTALL,
)


@dataclass(frozen=True)
class Piece:
    """One lexical piece: its kind, its text without delimiters, and its line."""

    kind: str
    text: str
    line: int


def lex(text: str, file: str) -> list[Piece]:
    """Split JSGF source into pieces; comments and white space are left out.

    Raises:
        GrammarError: the header is missing, or a character starts nothing known.
    """
    header = _HEADER.match(text)
    if header is None:
        raise GrammarError(
            f"{file}:1: A JSGF grammar starts with '#JSGF V1.0;'; add that as the first line."
        )
    pieces: list[Piece] = []
    at = header.end()
    while at < len(text):
        line = text.count("\n", 0, at) + 1
        match = _PIECES.match(text, at)
        if match is None:
            raise GrammarError(f"{file}:{line}: {_unexpected(text[at])}")
        kind = match.lastgroup or ""
        if kind not in ("space", "comment"):
            pieces.append(Piece(kind, _inner(kind, match.group()), line))
        at = match.end()
    return pieces


def _unexpected(character: str) -> str:
    hints = {
        "{": "This tag is never closed; add '}'.",
        '"': "This quoted word is never closed; add a quotation mark.",
        "<": "This is not a rule name; write it as <name>.",
        "/": "This is neither a weight such as /0.5/ nor a whole comment; fix it.",
    }
    return hints.get(character, f"'{character}' is not expected here; remove it.")


def _inner(kind: str, text: str) -> str:
    if kind == "rule":
        return text[1:-1]
    if kind == "weight":
        return text[1:-1].strip().rstrip("fF")
    if kind in ("tag", "quoted"):
        inner = re.sub(r"\\(.)", r"\1", text[1:-1], flags=re.DOTALL)
        return inner.strip() if kind == "tag" else inner
    return text
