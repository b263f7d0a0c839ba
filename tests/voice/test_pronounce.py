"""Trade notation is said as a mechanic says it, judged by the phonemes that espeak-ng lists."""

from __future__ import annotations

import re
import subprocess
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.speech.errors import SpeechError
from assistant.voice import pronounce
from assistant.voice.pronounce import Respelling
from assistant.voice.ssml import Markup

EN = Respelling.of_language("en-US")
MARKUP = Markup(re.compile("(?!)"))


@cache
def phonemes(text: str, *options: str) -> str:
    """The sounds that espeak-ng lists for ``text``.

    Left out: stress, pauses, and the length and colour of vowels that it gives figures otherwise
    than words (``40`` and ``forty``).
    """
    said = subprocess.run(
        ("espeak-ng", "--stdin", "-q", "-x", "-v", "en-us", *options),
        input=text.encode(),
        capture_output=True,
        check=True,
    ).stdout.decode()
    return re.sub(r"[\s',_:%=2]", "", said).replace("O@", "o@")


# Left as the standards write it (ISO 965-1, ASME B1.1, ISO 898-1, ISO 21920-1, ISO 286-1,
# ISO 228-1), right as a mechanic says it: common practice, no source.
SPOKEN = [
    ("M8 by 1.25", "em eight by one point two five"),
    ("M8x1.25", "em eight by one point two five"),
    ("M8 × 1.25", "em eight by one point two five"),
    ("M10 x 1.5", "em ten by one point five"),
    ("3/8-16 UNC", "three eighths sixteen U N C"),
    ("1/4-28 UNF", "one quarter twenty eight U N F"),
    ("5/16-18 UNC", "five sixteenths eighteen U N C"),
    ("#10-32 UNF", "number ten thirty two U N F"),
    ("10.9", "ten point nine"),
    ("8.8", "eight point eight"),
    ("Ra 1.6", "R A one point six"),
    ("Ra1.6", "R A one point six"),
    ("Rz 6.3", "R Z six point three"),
    ("H7", "aitch seven"),
    ("H7/g6", "aitch seven g six"),
    ("G1/2", "G one half"),
    ("KB-2", "K B two"),
    ("3/64 in", "three sixty fourths inch"),
    ("1-1/2 inch", "one and one half inches"),
    ("0.05 mm", "zero point zero five millimeters"),
    ("12 N·m", "twelve newton meters"),
    ("40 lbf·ft", "forty pound feet"),
    ("80 °C", "eighty degrees celsius"),
    ("±0.02", "plus or minus zero point zero two"),
    ("30°", "thirty degrees"),
]


@pytest.mark.audio
@pytest.mark.parametrize(("written", "said"), SPOKEN)
def test_notation_sounds_as_a_mechanic_says_it(written: str, said: str) -> None:
    assert phonemes(EN(written)) == phonemes(said)
    sentence = f"Fit the {written} part."
    assert phonemes(MARKUP(EN(sentence)), "-m") == phonemes(f"Fit the {said} part.")


@pytest.mark.audio
@pytest.mark.parametrize(
    ("written", "letters"),
    # CMU Pronouncing Dictionary, from memory: thou TH AW (in thousand), fillet F IH L AH T,
    # preload P R IY L OW D
    [("thou", "TaU"), ("fillet", "fIlIt"), ("preload", "priloUd")],
)
def test_trade_words_have_their_sounds(written: str, letters: str) -> None:
    assert phonemes(EN(written)) == letters


@pytest.mark.parametrize(
    "text",
    ["Step 3 of 24.", "Grade 10.9.", "The order is 1, 3, 5.", "reading one point five thow",
     "Maxim 8 x", "serial KBX217", "and/or", "a 5/7 share", "Rampart 1.6", "up-to-date"],
)  # fmt: skip
def test_what_is_no_notation_stays(text: str) -> None:
    assert EN(text) == text


@given(st.text(st.sampled_from("MmHgKB-28x.×/ 165±°NUC#Ra")))
def test_no_digit_is_lost_or_made(text: str) -> None:
    """A figure is never changed by how its notation is said; a denominator becomes a word."""
    written, said = re.findall(r"\d", text), re.findall(r"\d", EN(text))
    left = iter(written)
    assert all(digit in left for digit in said)  # said as written, but for denominators
    if "/" not in text:
        assert said == written


@given(st.text())
def test_any_text_can_be_respelled(text: str) -> None:
    assert isinstance(EN(text), str)


def test_a_table_of_words_needs_no_heading(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "xx").mkdir()
    (tmp_path / "xx" / pronounce.FILE_NAME).write_text("thou: thow\n", encoding="utf-8")
    monkeypatch.setattr(pronounce, "data_folder", lambda _: tmp_path)
    assert Respelling.of_language("xx")("Two thou.") == "Two thow."


def test_the_longest_pattern_wins_and_unknown_fractions_stay() -> None:
    respell = Respelling({}, {"{fraction}": "{1}", "{fraction} in": "{1} inch"}, {"8": ("e", "es")})
    assert respell("3/8 in") == "3 es inch"
    assert respell("3/7 in") == "3/7 in"


@pytest.mark.parametrize(
    ("content", "complaint"),
    [("- a\n", "must hold"), ("words: [a]\n", "must hold"), ("thou: 1\n", "must hold"),
     ("words: {a: [b]}\n", "must hold"), ("patterns: {'M{size}': 'M'}\n", "place 'size'"),
     ("patterns: {'M{whole}': 'M {2}'}\n", "lacks"), ("a: b: c\n", "not readable")],
)  # fmt: skip
def test_a_faulty_table_is_one_sentence(
    content: str, complaint: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "xx").mkdir()
    (tmp_path / "xx" / pronounce.FILE_NAME).write_text(content, encoding="utf-8")
    monkeypatch.setattr(pronounce, "data_folder", lambda _: tmp_path)
    with pytest.raises(SpeechError, match=complaint):
        Respelling.of_language("xx")
