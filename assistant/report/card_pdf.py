"""The phrase card on paper: one upright A4 page, in the largest type that fits.

Set by typst, as the record is. The template reads the card as data; no text of it is ever markup.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, datetime
from importlib.resources import files
from typing import Any

import typst

from assistant.report.pdf import STANDARD, PdfError, settable, with_fonts


@dataclass(frozen=True)
class CardRow:
    """What may be said (``say``), and what it does, or where (``about``)."""

    say: str
    about: str = ""


@dataclass(frozen=True)
class CardSection:
    """The phrases of one kind of step, or for one purpose."""

    title: str
    rows: tuple[CardRow, ...]


@dataclass(frozen=True)
class PhraseCard:
    """All of a card; ``governs`` says which papers go before it.

    ``steps`` come first; ``always`` holds the phrases that do not depend on the step.
    """

    title: str
    procedure: str
    revision: str
    governs: str
    language: str
    steps: tuple[CardSection, ...]
    always: tuple[CardSection, ...]


def card_pdf(card: PhraseCard) -> bytes:
    """The card as a PDF.

    Raises:
        PdfError: it could not be typeset, or no font here has the letters of its language.
    """
    return with_fonts(lambda unshown: _typeset(card, unshown), "install fonts for its language")


def _typeset(card: PhraseCard, unshown: set[str]) -> bytes:
    scripts = sorted(group for group in unshown if len(group) > 1)
    if scripts:  # written as codes, phrases are of no use
        raise PdfError(
            f"No font on this machine has {', '.join(scripts)}, which {card.language} is written "
            "in; install a font for it, then print the card again."
        )

    def sections(listed: tuple[CardSection, ...]) -> list[dict[str, Any]]:
        return [
            {
                "title": settable(one.title, unshown),
                "rows": [
                    {"say": settable(r.say, unshown), "about": settable(r.about, unshown)}
                    for r in one.rows
                ],
            }
            for one in listed
        ]

    data = {
        **{
            name: settable(getattr(card, name), unshown)
            for name in ("title", "procedure", "revision", "governs")
        },
        "lang": card.language.partition("-")[0],
        "steps": sections(card.steps),
        "always": sections(card.always),
    }
    template = files("assistant.report").joinpath("templates", "card.typ").read_bytes()
    typeset: Any = typst.compile  # its stubs leave out that it takes files by name
    made = typeset(
        {"main.typ": template, "data.json": json.dumps(data).encode()},
        format="pdf",
        pdf_standards=[STANDARD],  # under it, a letter that no font has is refused
        timestamp=datetime(2000, 1, 1, tzinfo=UTC),  # the same card gives the same PDF
    )
    assert isinstance(made, bytes)
    return made
