"""Marked-up lines are well-formed XML whose words are the text's own, and espeak-ng reads them."""

from __future__ import annotations

import io
import subprocess
from xml.etree import ElementTree

import pytest
import soundfile
from hypothesis import given
from hypothesis import strategies as st

from assistant.language.tone import Tone
from assistant.voice.digit_words import digit_words
from assistant.voice.espeak import EspeakSynthesiser
from assistant.voice.ssml import Markup, digit_runs, sentences

MARKUP = Markup(digit_runs(digit_words("en-US")))
TONES = st.sampled_from(("plain", "caution", "readback", "ask"))
TORQUE = "Set the small torque wrench to forty newton meters, four zero."


def words(text: str) -> list[str]:
    return text.split()


# ElementTree (expat) is the judge of well-formed XML 1.0.
@given(st.text(), TONES)
def test_any_text_gives_a_document_with_the_same_words(text: str, tone: Tone) -> None:
    root = ElementTree.fromstring(MARKUP(text, tone))
    read = words("".join(root.itertext()))
    kept = "".join(c if c in "\t\n\r" or _in_xml(c) else " " for c in text)
    assert "".join(read) == "".join(words(kept))


def _in_xml(character: str) -> bool:
    try:
        ElementTree.fromstring(f"<a>&#{ord(character)};</a>")
    except ElementTree.ParseError:
        return False
    return True


@given(st.lists(st.sampled_from(["<break/>", "&amp;", "]]>", "<speak>", "3 < 4", "four zero."])))
def test_markup_in_the_text_is_spoken_not_obeyed(parts: list[str]) -> None:
    text = " ".join(parts)
    root = ElementTree.fromstring(MARKUP(text))
    assert words("".join(root.itertext())) == words(text)
    assert {e.tag for e in root.iter()} <= {"speak"}  # no digits stand after a comma here


def test_the_digits_of_a_torque_are_slowed_and_parted() -> None:
    root = ElementTree.fromstring(MARKUP(TORQUE, "caution"))
    slow = root.find("prosody")
    assert slow is not None
    assert words("".join(slow.itertext())) == ["four", "zero."]
    assert slow.find("break") is not None


@pytest.mark.parametrize(
    "text", ["Step two of nine. Go on.", "Position one two, take the reading.", "Blade, four."]
)
def test_other_numbers_are_left_alone(text: str) -> None:
    assert ElementTree.fromstring(MARKUP(text)).find("prosody") is None


@given(st.text())
def test_sentences_lose_nothing(text: str) -> None:
    assert words(" ".join(sentences(text))) == words(text)


def test_a_number_with_a_point_is_not_cut() -> None:
    assert sentences("Grade 10.9, M8 by 1.25. Ra 1.6.") == ["Grade 10.9, M8 by 1.25.", "Ra 1.6."]


# What espeak-ng makes of it ------------------------------------------------------------------


def seconds(marked: str) -> float:
    spoken = subprocess.run(
        ("espeak-ng", "--stdin", "-m", "-v", "en-us", "-w", "/dev/stdout"),
        input=marked.encode(),
        capture_output=True,
        check=True,
    ).stdout
    with soundfile.SoundFile(io.BytesIO(spoken)) as file:
        return len(file.read()) / float(file.samplerate)


@pytest.mark.audio
def test_espeak_pauses_at_the_marks() -> None:
    plain = "<speak>Shims cut. Wear gloves.</speak>"
    assert seconds(MARKUP("Shims cut. Wear gloves.", "caution")) > seconds(plain) + 0.2
    assert seconds(MARKUP(TORQUE)) > seconds(f"<speak>{TORQUE}</speak>") + 0.3


@pytest.mark.audio
def test_espeak_speaks_the_same_words_with_and_without_marks() -> None:
    """The phonemes that espeak-ng itself lists, pauses left out."""

    def phonemes(text: str, *options: str) -> list[str]:
        said = subprocess.run(
            ("espeak-ng", "--stdin", "-q", "-x", "-v", "en-us", *options),
            input=text.encode(),
            capture_output=True,
            check=True,
        ).stdout.decode()
        return said.replace("_:", " ").replace("_", " ").replace(":", "").split()

    text = "Torque & angle: 3 < 4, four zero."
    assert phonemes(MARKUP(text), "-m") == phonemes(text)


@pytest.mark.audio
def test_a_line_without_words_gives_no_fault() -> None:
    lines = EspeakSynthesiser("en-US")
    assert lines.synthesise(lines.prepared("...", "plain"), 150).rate == 22050
