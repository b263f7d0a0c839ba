"""The recogniser that ships, on recordings of people and on synthetic voices.

Recordings, grammars and transcriptions: Debian package pocketsphinx-testdata. None of them, nor
the voice of festival used here, was in the model's training (see training/model-card.md).
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from assistant.audio.synthesis import say
from assistant.audio.synthesis.noises import NOISES, as_samples
from assistant.language.automaton import automaton_of
from assistant.speech.errors import SpeechError
from assistant.speech.types import Samples
from tests.ears import shipped_ear
from tests.language.whole_phrases import accepts
from tests.speech.recordings import grammar_words, recording, sound, whole

pytestmark = pytest.mark.audio

COMMANDS = """#JSGF V1.0; grammar c; public <c> = step done | go on | stop work | that is wrong
 | reading (one | two | five | nine) (thou | millimeters | inches) | understood | repeat that;"""
DIGITS = """#JSGF V1.0; grammar digits; public <digits> = <digit>+;
<digit> = zero | oh | one | two | three | four | five | six | seven | eight | nine;"""

QUIET = np.random.default_rng(1).normal(0, 3, 4800).astype(np.int16)


def heard(jsgf: str, samples: Samples) -> tuple[str, float]:
    """The likeliest text and its confidence; empty and 0 where nothing was heard."""
    engine = shipped_ear()
    engine.listen_for(jsgf, grammar_words(jsgf))
    padded = np.concatenate((QUIET, samples, QUIET))
    found = engine.recognise(whole(padded)).hypotheses
    return (found[0].text, found[0].confidence) if found else ("", 0.0)


def passes(samples: Samples) -> bool:
    return heard(COMMANDS, samples)[1] >= 0.5


def transcription() -> dict[str, str]:
    lines = recording("cards/cards.transcription").read_text().splitlines()
    matches = [re.fullmatch(r"<s> (.*?)\s*</s> \((\d+)\)", line) for line in lines]
    return {m[2]: m[1] for m in matches if m}


def test_card_phrases_are_heard_as_their_transcription_says() -> None:
    said = transcription()
    assert len(said) == 5
    jsgf = recording("cards/cards.gram").read_text()
    assert {n: heard(jsgf, sound(f"cards/{n}.wav"))[0] for n in said} == said


def test_go_forward_is_heard_under_its_own_grammar() -> None:
    text, sure = heard(recording("goforward.gram").read_text(), sound("goforward.raw"))
    assert text == "go forward ten meters"
    assert sure > 0.5


def test_a_digit_string_of_tidigits_is_heard() -> None:
    # The file's name is what is said: 2934z, z for zero.
    assert heard(DIGITS, sound("tidigits/dhd.2934z.raw"))[0] == "two nine three four zero"


def test_words_carry_times_inside_the_utterance() -> None:
    jsgf = recording("cards/cards.gram").read_text()
    engine = shipped_ear()
    engine.listen_for(jsgf, grammar_words(jsgf))
    utterance = whole(sound("cards/005.wav"))
    words = engine.recognise(utterance).hypotheses[0].words
    edges = [edge for w in words for edge in (w.start_s, w.end_s)]
    assert edges == sorted(edges)
    assert 0.0 <= edges[0] < edges[-1] <= utterance.end_s


def test_alternatives_are_other_phrases_with_their_distance() -> None:
    jsgf = recording("cards/cards.gram").read_text()
    engine = shipped_ear()
    engine.listen_for(jsgf, grammar_words(jsgf))
    for name in transcription():
        found = engine.recognise(whole(sound(f"cards/{name}.wav"))).hypotheses
        texts = [h.text for h in found]
        assert len(texts) == len(set(texts))
        behind = [h.behind for h in found if h.behind is not None]
        assert behind[0] == 0.0
        assert len(behind) == len(found)
        assert behind == sorted(behind)


def test_a_word_of_the_lexicon_is_heard_as_the_trade_says_it() -> None:
    assert heard(COMMANDS, say("reading five thou", "slt"))[0] == "reading five thou"


def test_switching_back_and_forth_between_grammars() -> None:
    for _ in range(2):
        assert heard(DIGITS, say("two nine", "rms"))[0] == "two nine"
        assert heard(COMMANDS, say("stop work", "rms"))[0] == "stop work"


def test_a_word_without_a_sound_is_named() -> None:
    with pytest.raises(SpeechError, match=r"'zibblewick'.*lexicon"):
        heard("#JSGF V1.0; grammar g; public <g> = seat the zibblewick;", sound("goforward.raw"))


def test_silence_and_clicks_are_nothing() -> None:
    assert not passes(np.zeros(16_000, np.int16))
    assert not passes(np.zeros(300, np.int16))
    click = np.zeros(16_000, np.int16)
    click[8000:8040] = 20_000
    assert not passes(click)


@pytest.mark.parametrize("name", sorted(NOISES))
def test_noise_and_music_are_rejected(name: str) -> None:
    for seed in range(3):
        noise = NOISES[name](40_000, seed)
        loud = as_samples(noise * (3000 / np.sqrt(np.mean(noise**2))))
        assert not passes(loud), f"{name}, seed {seed}"


def test_a_reader_is_rejected() -> None:
    names = sorted(p.name for p in recording("librivox").glob("*.wav"))
    assert len(names) == 5
    assert [n for n in names if passes(sound(f"librivox/{n}"))] == []


@pytest.mark.parametrize("speaker", ["slt", "rms", "kal16", "kal_diphone", "espeak_gb"])
def test_commands_pass(speaker: str) -> None:
    commands = ("step done", "stop work", "that is wrong", "understood")
    assert [c for c in commands if not passes(say(c, speaker))] == []


def test_half_a_phrase_is_not_taken_for_a_whole_one() -> None:
    jsgf = "#JSGF V1.0; grammar h; public <h> = read the cautions | three four | that is right;"
    for spoken in ("read the", "three", "that is", "read"):
        text, sure = heard(jsgf, say(spoken, "slt"))
        assert not text or accepts(automaton_of(jsgf), text.split())
        assert sure < 0.5, (spoken, text)


def test_a_command_amid_talk_is_not_taken() -> None:
    talk = say("they came to the old mill before noon and we", "rms")
    amid = np.concatenate((talk, say("stop work", "rms"), talk))
    assert not passes(amid)
