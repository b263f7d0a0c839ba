"""What is found on this machine, and which recogniser is taken."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from assistant.audio.inventory import devices_found
from assistant.cli.checks import voice
from assistant.speech.choice import choose_engine
from assistant.speech.errors import SpeechError
from assistant.speech.inventory import engines_found
from assistant.speech.vosk_models import MODEL_VARIABLE
from assistant.voice.espeak_library import EspeakLibrary


@pytest.fixture(autouse=True)
def _no_model(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.delenv(MODEL_VARIABLE, raising=False)


def test_for_english_the_programs_own_recogniser_is_taken_and_says_so() -> None:
    choice = choose_engine("en-US")
    assert choice.engine.name == "ear"
    assert "own speech model" in choice.why


@pytest.mark.audio
def test_with_a_model_vosk_is_taken() -> None:
    assert choose_engine("ko").engine.name == "vosk"


def test_an_engine_may_be_forced_but_not_without_its_model() -> None:
    assert choose_engine("en-US", forced="ear").engine.name == "ear"
    with pytest.raises(SpeechError, match="English only"):
        choose_engine("ko", forced="ear")
    with pytest.raises(SpeechError, match="No Vosk model for en-US"):
        choose_engine("en-US", forced="vosk")
    with pytest.raises(SpeechError, match="no engine 'parrot'"):
        choose_engine("en-US", forced="parrot")


def test_a_language_that_no_engine_has_is_refused() -> None:
    with pytest.raises(SpeechError, match="No Vosk model for fr"):
        choose_engine("fr")


def test_everything_missing_comes_with_a_remedy(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    monkeypatch.setitem(sys.modules, "espeakng_loader", None)
    monkeypatch.setattr("assistant.voice.espeak.espeak_library", EspeakLibrary)
    items = [*engines_found("fr"), voice("en-US"), *devices_found()]
    missing = [item for item in items if not item.present]
    assert {"vosk", "ear", "voice"} <= {item.name for item in missing}
    assert all(item.remedy.endswith(".") for item in missing)
    assert all(item.detail for item in items if item.present)
