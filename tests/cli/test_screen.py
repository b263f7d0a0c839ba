"""Spoken words that were not taken are marked on the terminal, and those that were are not."""

from __future__ import annotations

from io import StringIO

import pytest

from assistant.cli.screen import TerminalScreen
from assistant.dialogue.states import Doing
from assistant.language.hypothesis import Hypothesis, Recognition, Word, typed
from assistant.session.edges import Sound
from tests.board.kit import CONTEXT, at


def spoken(text: str, sure: float) -> Recognition:
    words = tuple(Word(w, sure) for w in text.split())
    return Recognition(engine="ear", hypotheses=(Hypothesis(words, sure),))


def shown(recognition: Recognition) -> str:
    out = StringIO()
    screen = TerminalScreen(out, CONTEXT)
    screen.state(at("oil", Doing()))
    screen.heard(Sound(recognition))
    return out.getvalue().strip()


@pytest.mark.parametrize("sure", [0.3, 0.6, 0.69, 0.7, 0.95])
@pytest.mark.parametrize("words", ["done", "mumble"])
def test_it_is_marked_just_where_it_is_not_trusted(words: str, sure: float) -> None:
    taken = words == "done" and sure >= 0.7  # anything that moves on needs that confidence
    assert ("NOT TAKEN" in shown(spoken(words, sure))) is not taken


def test_it_says_why() -> None:
    assert shown(spoken("done", 0.35)) == (
        "you  done   (35 % sure)   NOT TAKEN: not sure enough, say it again"
    )
    assert shown(spoken("done", 0.95)) == "you  done   (95 % sure)"
    assert shown(typed("mumble")) == "you  mumble"  # a typed line is answered with a sentence
