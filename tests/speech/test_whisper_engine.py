"""The second listener on real sound, where its model is installed; its refusals everywhere."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from assistant.audio.synthesis.speakers import say
from assistant.language import Language
from assistant.language.spec import ListenSpec, NumberSpec
from assistant.models.places import best_installed
from assistant.resources import data_folder
from assistant.speech.endpoint import Endpointer
from assistant.speech.errors import SpeechError
from assistant.speech.following import FollowedBy
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine
from assistant.speech.two_listeners import TwoListeners
from assistant.speech.types import PAUSE, SAMPLE_RATE, Utterance
from assistant.speech.whisper_engine import WhisperEngine

MODEL = best_installed("whisper")
SPEC = ListenSpec(("go_on", "correction"), NumberSpec(("thou", "mm"), max_decimals=1))


def test_a_folder_without_a_model_is_refused_with_the_remedy(tmp_path: Path) -> None:
    with pytest.raises(SpeechError, match="fetch whisper-base"):
        WhisperEngine(tmp_path)


def test_a_damaged_model_is_told_in_a_sentence(tmp_path: Path) -> None:
    pytest.importorskip("faster_whisper")
    (tmp_path / "model.bin").write_bytes(b"no model")
    (tmp_path / "tokenizer.json").write_text("{}")
    with pytest.raises(SpeechError, match="cannot be read; fetch it again"):
        WhisperEngine(tmp_path)


def like_the_model(folder: Path, without: str) -> Path:
    """A folder with the installed model's files, except one."""
    if MODEL is None:
        pytest.skip("no Whisper model is installed: python -m assistant.models fetch whisper-base")
    for file in MODEL.iterdir():
        if file.name != without:
            (folder / file.name).symlink_to(file)
    return folder


def test_a_tokenizer_that_breaks_off_is_told_in_a_sentence(tmp_path: Path) -> None:
    folder = like_the_model(tmp_path, "tokenizer.json")
    (folder / "tokenizer.json").write_text('{"version": "1.0", "trunc')
    with pytest.raises(SpeechError, match="cannot be read; fetch it again"):
        WhisperEngine(folder)


def test_a_missing_tokenizer_is_refused_and_not_looked_for_on_the_network(tmp_path: Path) -> None:
    with pytest.raises(SpeechError, match="fetch whisper-base"):
        WhisperEngine(like_the_model(tmp_path, "tokenizer.json"))


@pytest.fixture(scope="module")
def engine() -> WhisperEngine:
    if MODEL is None:
        pytest.skip("no Whisper model is installed: python -m assistant.models fetch whisper-base")
    return WhisperEngine(MODEL)


@pytest.mark.audio
def test_it_writes_and_weighs_a_reading(engine: WhisperEngine) -> None:
    language = Language.load("en-US")
    engine.listen_for(language.jsgf(SPEC), language.words(SPEC))
    samples = say("reading one point five thou", "rms")
    utterance = Utterance(samples, 0.0, len(samples) / SAMPLE_RATE)
    recognition = engine.recognise(utterance)
    assert recognition.hypotheses[0].text == "reading 1.5 thou"
    texts = ["reading nine point five thou", "reading one point five thou", "go on"]
    nats = engine.weigh(utterance, texts)
    assert nats.index(max(nats)) == 1


@pytest.mark.audio
def test_quiet_after_the_last_voice_changes_nothing(engine: WhisperEngine) -> None:
    language = Language.load("en-US")
    engine.listen_for(language.jsgf(SPEC), language.words(SPEC))
    said = say("reading one point five thou", "slt")
    answers = []
    for quiet in (PAUSE, 3 * PAUSE):
        samples = np.concatenate((said, np.zeros(quiet, np.int16)))
        utterance = Utterance(samples, 0.0, len(samples) / SAMPLE_RATE, spoken=len(said))
        heard = engine.recognise(utterance)
        answers.append(([h.text for h in heard.hypotheses], engine.weigh(utterance, ["go on"])))
    assert answers[0] == answers[1]


@pytest.mark.audio
def test_both_listeners_answer_the_same_followed_or_not(engine: WhisperEngine) -> None:
    """With the real engines, the endpointer and its pauses, as in a session."""
    language = Language.load("en-US")
    lexicon = data_folder("grammars") / "en-US" / "lexicon.dict"
    both = TwoListeners(PocketSphinxEngine(lexicon), engine, "weigh", language.pronunciations)
    follower = FollowedBy(both)
    both.listen_for(language.jsgf(SPEC), language.words(SPEC))
    follower.grammar(language.jsgf(SPEC))
    quiet = np.random.default_rng(5).normal(0, 3, SAMPLE_RATE).astype(np.int16)
    endpointer = Endpointer(follower=follower)
    sound = np.concatenate((quiet, say("reading one point five thou", "rms"), quiet))
    heard = []
    for at in range(0, len(sound), 800):
        for utterance in endpointer.follow(sound[at : at + 800]):
            heard.append((utterance, both.recognise(utterance)))
    ((utterance, followed),) = heard
    both.listen_for(language.jsgf(SPEC), language.words(SPEC))
    assert both.recognise(utterance) == followed
    assert followed.hypotheses[0].text == "reading one point five thou"
    assert "reading one point nine thou" in {w.text for w in followed.weighed}
