"""The keyboard as an ear: what is no text does no harm."""

from __future__ import annotations

from io import BytesIO, TextIOWrapper

import pytest

from assistant.dialogue.expectation import Expectation
from assistant.language.spec import ListenSpec
from assistant.session.edges import EndOfInput
from assistant.session.keyboard_ear import KeyboardEar


@pytest.mark.parametrize("errors", ["strict", "surrogateescape"])
def test_bytes_that_are_no_text_come_as_marks_that_can_be_recorded(errors: str) -> None:
    stream = TextIOWrapper(BytesIO(b"step \xff done\nstep done\n"), "utf-8", errors)
    ear, expected = KeyboardEar(stream), Expectation(ListenSpec(commands=("done",)))
    heard = [ear.hear(expected, None), ear.hear(expected, None)]
    texts = [sound.recognition.hypotheses[0].text for sound in heard if sound is not None]
    assert texts == ["step \ufffd done", "step done"]
    assert "".join(texts).encode("utf-8")
    with pytest.raises(EndOfInput):
        ear.hear(expected, None)
