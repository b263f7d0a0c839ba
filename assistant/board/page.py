"""The one page: template, style and script made into a single self-contained document."""

from __future__ import annotations

import base64
import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from jinja2 import Environment, StrictUndefined

from assistant.board.words import BoardWords

_FOLDER = Path(__file__).resolve().parent
Look = Literal["", "light", "dark", "contrast"]
LOOKS: tuple[Look, ...] = ("", "light", "dark", "contrast")


@dataclass(frozen=True)
class Page:
    """The document in each look, and the policy that lets nothing but its own parts run."""

    documents: dict[Look, str]
    policy: str


def make_page(words: BoardWords) -> Page:
    """Render the page with the labels of ``words``."""
    style = (_FOLDER / "board.css").read_text(encoding="utf-8")
    script = (_FOLDER / "board.js").read_text(encoding="utf-8")
    environment = Environment(autoescape=True, undefined=StrictUndefined)
    template = environment.from_string((_FOLDER / "board.html.j2").read_text(encoding="utf-8"))
    documents = {
        look: template.render(words=words, look=look, style=style, script=script) for look in LOOKS
    }
    policy = "; ".join(
        (
            "default-src 'none'",
            f"style-src {_hash(style)}",
            f"script-src {_hash(script)}",
            "connect-src 'self'",
            "img-src data:",  # the empty icon, so that no browser asks for one
            "base-uri 'none'",
            "form-action 'none'",
            "frame-ancestors 'none'",
        )
    )
    return Page(documents, policy)


def _hash(text: str) -> str:
    digest = hashlib.sha256(text.encode("utf-8")).digest()
    return f"'sha256-{base64.b64encode(digest).decode('ascii')}'"
