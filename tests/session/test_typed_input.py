"""Typed lines as speech input: bytes that are not text do no harm."""

from __future__ import annotations

from io import BytesIO, TextIOWrapper

import pytest

from assistant.dialogue.expectation import Expectation
from assistant.language.spec import ListenSpec
from assistant.session.edges import EndOfInput
from assistant.session.typed_input import TypedInput


@pytest.mark.parametrize("errors", ["strict", "surrogateescape"])
def test_bytes_that_are_no_text_come_as_marks_that_can_be_recorded(errors: str) -> None:
    stream = TextIOWrapper(BytesIO(b"step \xff done\nstep done\n"), "utf-8", errors)
    source, expected = TypedInput(stream), Expectation(ListenSpec(commands=("done",)))
    heard = [source.hear(expected, None), source.hear(expected, None)]
    texts = [sound.recognition.hypotheses[0].text for sound in heard if sound is not None]
    assert texts == ["step \ufffd done", "step done"]
    assert "".join(texts).encode("utf-8")
    with pytest.raises(EndOfInput):
        source.hear(expected, None)
