"""The espeak-ng library, where the system has no espeak-ng of its own."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.cli.speaking import open_voice
from assistant.speech.errors import SpeechError
from assistant.voice import espeak
from assistant.voice.espeak import EspeakCommand, EspeakSynthesiser
from assistant.voice.espeak_library import espeak_library
from assistant.voice.espeak_settings import EspeakSettings
from assistant.voice.voices import FileVoice

LINE = "Set the wrench to twenty-two newton meters."


@pytest.fixture
def without_command(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(espeak, "which", lambda name: None)
    monkeypatch.setattr("assistant.cli.speaking.which", lambda name: None)


def test_the_library_says_as_much_as_the_command() -> None:
    asked = EspeakSettings("en-us", 150, 1.0)
    ours, theirs = (e.sound(LINE, asked) for e in (espeak_library(), EspeakCommand()))
    assert ours.rate == theirs.rate
    assert len(ours.samples) == pytest.approx(len(theirs.samples), rel=0.1)


def test_it_speaks_as_fast_and_as_loud_as_it_is_asked() -> None:
    library = espeak_library()
    slow = library.sound(LINE, EspeakSettings("en-us", 120, 1.0)).samples
    fast = library.sound(LINE, EspeakSettings("en-us", 240, 0.3)).samples
    assert len(fast) < 0.7 * len(slow)
    assert np.abs(fast).max() < 0.5 * np.abs(slow).max()
    again = library.sound(LINE, EspeakSettings("en-us", 120, 1.0)).samples  # nothing stays set
    assert len(again) == pytest.approx(len(slow), rel=0.01)


def test_a_voice_that_is_not_there_is_a_sentence() -> None:
    with pytest.raises(SpeechError, match="no voice 'xx-none'"):
        espeak_library().sound(LINE, EspeakSettings("xx-none", 150, 1.0))


@pytest.mark.usefixtures("without_command")
def test_without_the_command_lines_go_into_files_through_the_library(tmp_path: Path) -> None:
    voice = open_voice(str(tmp_path))
    assert isinstance(voice, FileVoice)
    voice.speak(LINE)
    (file,) = tmp_path.iterdir()
    samples, rate = soundfile.read(file, dtype="int16")
    made = espeak_library().sound(LINE, EspeakSettings("en-us", 150, 0.9))
    assert rate == made.rate
    assert len(samples) > 2 * rate


@pytest.mark.usefixtures("without_command")
def test_its_lines_are_cached_apart_from_the_commands() -> None:
    assert EspeakSynthesiser("en-US").identity.startswith("espeak-ng library 1.")
