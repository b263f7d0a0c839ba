"""The phrase card holds the procedure's own words, and each of them is heard as it stands there."""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.board.phrase_card import phrase_card
from assistant.dialogue.context import Context
from assistant.language import Language
from assistant.language.spec import Command, ListenSpec
from assistant.report.card_pdf import PhraseCard, card_pdf
from assistant.report.pdf import PdfError
from tests.shipped import shipped


def context(name: str) -> Context:
    procedure = shipped(name)
    return Context(procedure, Language.load(procedure.language))


@pytest.fixture(scope="module")
def card() -> PhraseCard:
    return phrase_card(context("kb2_coupling_guard"))


def test_every_command_on_it_is_heard_as_a_command(card: PhraseCard) -> None:
    language = context("kb2_coupling_guard").language
    spec = ListenSpec(commands=language.command_ids)
    said = [p for section in card.always for row in section.rows for p in row.say.split(" · ") if p]
    said.append("step done")  # of the work
    assert len(said) > 25
    for phrase in said:
        (meaning,) = language.interpret(spec, phrase)
        assert isinstance(meaning, Command), phrase


def test_it_has_the_words_of_every_step_whatever_its_condition(card: PhraseCard) -> None:
    procedure = context("kb2_coupling_guard").procedure
    rows = [row for section in card.steps for row in section.rows]
    phrases = {phrase.lower() for row in rows for phrase in row.say.split(" · ")}
    options = {o.say.lower() for s in procedure.steps for o in getattr(s, "options", ())}
    assert len(options) >= 2
    assert options <= phrases
    assert {"front left", "rear right"} <= phrases  # its screws
    silent = {"derived"}  # in limits it asks for nothing
    assert len(card.steps) == 1 + len({s.kind for s in procedure.steps} - silent)


@pytest.mark.parametrize("name", ["kb2_coupling_guard", "kb2_inspection_cover.ko-KR"])
def test_an_inspector_is_told_the_word_that_their_initials_follow(name: str) -> None:
    at = context(name)
    word = at.language.prompt("person_phrase", initials="x").split()[0]
    rows = [row.say for section in phrase_card(at).steps for row in section.rows]
    assert [say for say in rows if f"“{word}”" in say]


def test_what_may_be_adjusted_brings_its_word(card: PhraseCard) -> None:
    flange = phrase_card(context("kb7_pipe_flange"))  # its faces are drawn parallel
    assert ["adjusted" in said(one) for one in (flange, card)] == [True, False]


def said(card: PhraseCard) -> set[str]:
    """Every phrase for a value that is out of limits."""
    out = next(s for s in card.always if s.title == "Out of limits")
    return {row.say for row in out.rows}


def pages(content: bytes, folder: Path) -> list[str]:
    """The text of each page, by poppler."""
    reader = shutil.which("pdftotext")
    assert reader is not None, "install poppler-utils"
    target = folder / "card.pdf"
    target.write_bytes(content)
    done = subprocess.run([reader, "-raw", target, "-"], capture_output=True, text=True)
    return [" ".join(page.split()) for page in done.stdout.split("\f") if page.strip()]


def test_it_is_one_page_and_text_of_others_is_never_markup(
    card: PhraseCard, tmp_path: Path
) -> None:
    (page,) = pages(card_pdf(replace(card, procedure="#panic() *bold* $x$")), tmp_path)
    assert "#panic() *bold* $x$" in page
    for section in (*card.steps, *card.always):
        for row in section.rows:
            for phrase in row.say.split(" · "):
                assert phrase in page, phrase
    assert card.governs in page


def test_a_card_whose_letters_no_font_has_is_refused(card: PhraseCard) -> None:
    with pytest.raises(PdfError, match=r"No font .* CUNEIFORM.*install a font"):
        card_pdf(replace(card, title="\U00012000"))
