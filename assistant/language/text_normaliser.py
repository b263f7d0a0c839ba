"""Typed or transcribed text to the words of the grammar, in the two ways figures can be meant."""

from __future__ import annotations

import re
from collections.abc import Mapping, Set
from fractions import Fraction
from typing import Literal

from assistant.language.network import NUMBER

_TOKEN = re.compile(
    r"[0-9]+\s+[0-9]+/[0-9]+|[0-9]+/[0-9]+"  # figures
    r"|[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?|[0-9]+(?:\.[0-9]+)?|\.[0-9]+"
    r"|c?n[·*.⋅]m|(?:lb|oz)f?[·*.⋅](?:ft|in)|°[cf]?(?![cf/])"  # units
    r"|(?:mm|l|deg[cf]|°[cf])/(?:min|m|h)(?![^\W\d_])"
    r"|[^\W\d_]+(?:'[^\W\d_]+)?|[<>\"″+−-]"  # words of any script, and marks
)
_PRODUCT = re.compile(r"[·.⋅]")
_FRACTIONS = {"½": " 1/2", "¼": " 1/4", "¾": " 3/4"}
_KEPT_HYPHENS = {"x-ray"}
_FIGURES = frozenset("0123456789")
_BETWEEN = re.compile(r"[\s.,;:−–—-]*")
_LONGEST = 40  # characters of a number in figures; nobody means a longer one


class TextNormaliser:
    """Rewrites text by a table of typed forms (``metres`` -> ``meters``, ``lbf ft`` -> ...).

    ``parted``: letters that are number words and may be written without spaces between them, as
    Korean ``이십오`` (two ten five); a word made of them alone is taken apart.
    """

    def __init__(
        self,
        forms: Mapping[str, str],
        minus: str,
        point: str,
        digits: Mapping[str, str],
        parted: frozenset[str] = frozenset(),
    ) -> None:
        self._forms = {tuple(key.lower().split()): value.split() for key, value in forms.items()}
        self._longest = max((len(key) for key in self._forms), default=1)
        self._minus, self._point, self._digits = minus, point, digits
        self._parted = parted
        self._in_forms = frozenset(word for form in self._forms for word in form)

    def figures(self, text: str) -> list[str]:
        """Words with each number in figures as one ``#`` literal: ``reading #1.50 thou``."""
        return self._words(text, literal=True)

    def spelled_out(self, text: str) -> list[str]:
        """Words with numbers in figures said digit by digit: ``one point five zero``."""
        return self._words(text, literal=False)

    def two_numbers(self, text: str) -> bool:
        """Whether two numbers stand side by side in ``text``, at least one of them in figures.

        "1-2 thou" and "1 0.5" can each be read two ways, and so can "3 11/2"; "1 1/2" cannot.
        """
        plain = _plain(text)
        end, before = 0, ""
        for match in _TOKEN.finditer(plain):
            token = match.group()
            if token in "-−":
                continue
            one, other = self._is_digits(before), self._is_digits(token)
            both = {one, other} <= {"figures", "word"} and "figures" in (one, other)
            if both and _BETWEEN.fullmatch(plain[end : match.start()]):
                return True
            if " " in token and _is_number(token) and Fraction(token.split()[1]) >= 1:
                return True
            end, before = match.end(), token
        return False

    def _is_digits(self, token: str) -> Literal["figures", "word", ""]:
        if token and _is_number(token):
            return "figures"
        return "word" if token in self._digits.values() else ""

    def may_become(self, text: str, known: Set[str]) -> bool:
        """Whether each part of ``text`` may become words of ``known``, alone or among others.

        Cheap, and False only where it cannot.
        """
        return all(
            token in known or token in self._in_forms or _is_number(token) or self._parts(token)
            for token in self._tokens(text)
        )

    def _words(self, text: str, literal: bool) -> list[str]:
        words: list[str] = []
        for token in self._rewrite(self._tokens(text)):
            if _is_number(token):
                words += [NUMBER + _number(token)] if literal else self._say(token)
            else:
                words += list(token) if self._parts(token) else [token]
        return words

    def _parts(self, token: str) -> bool:
        return set(token) <= self._parted

    def _tokens(self, text: str) -> list[str]:
        plain = _plain(text)
        for word in _KEPT_HYPHENS:
            plain = plain.replace(word, word.replace("-", ""))
        tokens: list[str] = []
        at = 0
        for match in _TOKEN.finditer(plain):
            token, before = match.group(), plain[at : match.start()].strip()
            at = match.end()
            # Something that no grammar knows must not vanish, nor a mark between two figures:
            # "1,5" and "1 . 5" are not fifteen.
            parted = bool(before) and bool(tokens) and {tokens[-1][0], token[0]} <= _FIGURES
            if before.strip(" ,.!?;:") or parted:
                tokens.append(before)
            if token in "-−":
                nxt = plain[at : at + 1]
                glued = match.start() > 0 and not plain[match.start() - 1].isspace()
                if nxt in _FIGURES or nxt == ".":
                    if not glued:
                        tokens.append(self._minus)
                elif not glued and nxt:
                    tokens.append(token)
                continue
            tokens.append(_PRODUCT.sub("*", token) if token[0] in "nclo" else token)
        rest = plain[at:].strip(" ,.!?;:\n\t")
        if rest:
            tokens.append(rest)
        return tokens

    def _rewrite(self, tokens: list[str]) -> list[str]:
        out: list[str] = []
        at = 0
        while at < len(tokens):
            for size in range(min(self._longest, len(tokens) - at), 0, -1):
                form = self._forms.get(tuple(tokens[at : at + size]))
                if form is not None:
                    out += form
                    at += size
                    break
            else:
                out.append(tokens[at])
                at += 1
        return out

    def _say(self, token: str) -> list[str]:
        marks = {**self._digits, ".": self._point}
        return [marks.get(c, c) for c in token if c != ","]


def _plain(text: str) -> str:
    plain = text.lower().replace("’", "'")
    for sign, written in _FRACTIONS.items():
        plain = plain.replace(sign, written)
    return plain


def _is_number(token: str) -> bool:
    """Whether ``token`` is figures that can be a number; ``1/0`` and yard-long ones cannot."""
    if len(token) > _LONGEST or re.search(r"/0+$", token):
        return False
    return token[0] in _FIGURES or (token[0] == "." and token[1:2] in _FIGURES)


def _number(token: str) -> str:
    token = token.replace(",", "")
    if token.startswith("."):
        return "0" + token
    whole, space, part = re.sub(r"\s+", " ", token).partition(" ")
    return f"{whole}+{part}" if space else whole


def characters(text: str, known: Mapping[str, str]) -> list[str] | None:
    """Typed serials such as ``KB2-14`` as spelling words; None when ``text`` is none.

    Only single letters and pieces with a digit count as typed characters, so that a misspelled
    word is not taken for a serial.
    """
    words: list[str] = []
    named = set(known.values())
    for piece in text.split():
        if piece.lower() in named:
            words.append(piece.lower())
        elif len(piece) == 1 or any(c.isdigit() for c in piece):
            for character in piece.upper():
                if character not in known:
                    return None
                words.append(known[character])
        else:
            words.append(piece.lower())
    return words or None
