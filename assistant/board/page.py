"""The one page: template, style and script made into a single self-contained document."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path
from typing import Any, Literal

from jinja2 import Environment, StrictUndefined

from assistant.board.words import BoardWords

_FOLDER = Path(__file__).resolve().parent
Look = Literal["", "light", "dark", "contrast"]
LOOKS: tuple[Look, ...] = ("", "light", "dark", "contrast")


class BoardPage:
    """The document, and the policy that lets nothing but its own style and script run."""

    def __init__(self, words: BoardWords) -> None:
        self._words = words
        self._style = (_FOLDER / "board.css").read_text(encoding="utf-8")
        self._script = (_FOLDER / "board.js").read_text(encoding="utf-8")
        environment = Environment(autoescape=True, undefined=StrictUndefined)
        source = (_FOLDER / "board.html.j2").read_text(encoding="utf-8")
        self._template = environment.from_string(source)
        self.policy = "; ".join(
            (
                "default-src 'none'",
                f"style-src {_hash(self._style)}",
                f"script-src {_hash(self._script)}",
                "connect-src 'self'",
                "img-src data:",  # the empty icon, so that no browser asks for one
                "base-uri 'none'",
                "form-action 'none'",
                "frame-ancestors 'none'",
            )
        )

    def render(self, look: Look, first: dict[str, Any]) -> str:
        """The document in ``look``, with the present message ``first`` to begin with."""
        return self._template.render(
            words=self._words, look=look, first=first, style=self._style, script=self._script
        )


def _hash(text: str) -> str:
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"
