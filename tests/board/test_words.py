"""The board's words cover what the procedure and the dialogue can bring before it."""

from __future__ import annotations

import ast
import inspect
import re
from pathlib import Path
from typing import get_args

import pytest

import assistant.board.scene
from assistant.board.words import load_words
from assistant.dialogue.commands import DISPOSITIONS
from assistant.procedure.kinds import STEP_KINDS
from assistant.procedure.kinds.identification import IdentificationStep
from assistant.procedure.kinds.tightening import TighteningStep
from tests.board.kit import WORDS
from tests.language.plural_forms import base_key

FOLDER = Path(inspect.getfile(assistant.board.scene)).parent


@pytest.mark.parametrize("kind", STEP_KINDS)
def test_every_kind_of_step_has_a_word(kind: str) -> None:
    assert WORDS("kind_" + kind)


def test_every_answer_that_is_shown_by_its_name_has_a_word() -> None:
    for what in get_args(IdentificationStep.model_fields["what"].annotation):
        assert WORDS("what_" + what)
    for thread in get_args(TighteningStep.model_fields["thread"].annotation):
        assert WORDS("thread_" + thread, lubricant="oil")
    for disposition in DISPOSITIONS:
        assert WORDS(disposition)
    for part in ("microphone", "voice", "store", "paused"):
        assert WORDS("notice_" + part)


def asked_keys() -> set[str]:
    """Keys written out in the code and the page; those ending in an underscore are prefixes."""
    keys = set(re.findall(r"words.['\"](\w+)['\"]", (FOLDER / "board.html.j2").read_text("utf-8")))
    for source in FOLDER.rglob("*.py"):
        for node in ast.walk(ast.parse(source.read_text("utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func) in (
                "words",
                "self._words",
                "at.words",
            ):
                literals = [n for n in ast.walk(node.args[0]) if isinstance(n, ast.Constant)]
                keys |= {str(n.value) for n in literals if isinstance(n.value, str)}
    return keys


def test_every_word_that_is_asked_for_is_there_and_no_other() -> None:
    keys = asked_keys()
    there = {base_key(key) for key in load_words("en-US").keys}
    prefixes = tuple(k for k in keys if k.endswith("_"))
    assert {k for k in keys if not k.endswith("_")} <= there
    idle = {k for k in there - keys if not k.startswith(prefixes)}
    # chosen by the outcome, and by what there is to count
    assert idle <= {
        "record_inspected_yes",
        "record_inspected_no",
        "left_skipped",
        "left_deviations",
    }


def test_a_language_without_words_of_its_own_gets_english() -> None:
    assert load_words("xx-XX").tag == "en-US"
