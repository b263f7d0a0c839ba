"""Text that others wrote, made harmless: the board shows control codes and never obeys them."""

from __future__ import annotations

import unicodedata
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any

from assistant.board.view import BoardView

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

NAME = 60
"""Characters of a name that can be taken in at a glance."""
TITLE = 110

# Besides control codes (Cc) and surrogates (Cs): invisible marks that reverse the order of the
# text (Unicode Technical Report 36, 2.7), and those that break lines.
_TURNING = frozenset("\u061c\u200e\u200f\u2028\u2029\u202a\u202b\u202c\u202d\u202e"
                     "\u2066\u2067\u2068\u2069")  # fmt: skip
_WHITE = "\n\r\t"


def plain(text: str) -> str:
    """``text`` with a replacement character for each code that would be obeyed, not seen."""
    if text.isprintable():
        return text
    return "".join(" " if c in _WHITE else "\N{REPLACEMENT CHARACTER}" if _obeyed(c) else c
                   for c in text)  # fmt: skip


def _obeyed(character: str) -> bool:
    return unicodedata.category(character) in ("Cc", "Cs") or character in _TURNING


def short(text: str, most: int = NAME) -> str:
    """A name with its middle left out where it is longer than ``most`` characters.

    Names that differ mostly do so at one of their ends. Values are never shortened.
    """
    if len(text) <= most:
        return text
    head = (most - 1) * 2 // 3
    return f"{text[:head]}…{text[len(text) - (most - 1 - head) :]}"


def all_plain(view: BoardView) -> BoardView:
    """A view with all of its texts plain."""
    return replace(view, **_fields(view))


def _fields(shown: DataclassInstance) -> dict[str, Any]:
    return {f.name: _value(getattr(shown, f.name)) for f in fields(shown)}


def _value(shown: Any) -> Any:
    if isinstance(shown, str):
        return plain(shown)
    if isinstance(shown, tuple):
        return tuple(_value(one) for one in shown)
    if is_dataclass(shown) and not isinstance(shown, type):
        return replace(shown, **_fields(shown))
    return shown
