"""The bundled recogniser on recordings of people.

Source of recordings, grammars and transcriptions: Debian package pocketsphinx-testdata.
"""

from __future__ import annotations

import re

import numpy as np
import pytest

from assistant.audio.synthesis import say
from assistant.speech.errors import SpeechError
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine
from tests.speech.recordings import grammar_words, recording, sound, whole

pytestmark = pytest.mark.audio

COMMANDS = "#JSGF V1.0; grammar c; public <c> = step done | go on | stop work | that is wrong;"
THOUS = "#JSGF V1.0; grammar t; public <t> = reading (one | two | five) thou;"
DIGITS = """#JSGF V1.0; grammar digits;
public <digits> = <digit> <digit> <digit> <digit> <digit>;
<digit> = zero | oh | one | two | three | four | five | six | seven | eight | nine;"""


@pytest.fixture(scope="module")
def engine() -> PocketSphinxEngine:
    return PocketSphinxEngine({"thou": "TH AW"})


def listen(engine: PocketSphinxEngine, jsgf: str) -> None:
    engine.listen_for(jsgf, grammar_words(jsgf))


def transcription() -> dict[str, str]:
    lines = recording("cards/cards.transcription").read_text().splitlines()
    matches = [re.fullmatch(r"<s> (.*?)\s*</s> \((\d+)\)", line) for line in lines]
    return {m[2]: m[1] for m in matches if m}


def test_card_phrases_are_heard_as_their_transcription_says(engine: PocketSphinxEngine) -> None:
    listen(engine, recording("cards/cards.gram").read_text())
    said = transcription()
    assert len(said) == 5
    heard = {n: engine.recognise(whole(sound(f"cards/{n}.wav"))).hypotheses[0].text for n in said}
    assert heard == said


def test_go_forward_is_heard_under_its_own_grammar(engine: PocketSphinxEngine) -> None:
    listen(engine, recording("goforward.gram").read_text())
    best = engine.recognise(whole(sound("goforward.raw"))).hypotheses[0]
    assert best.text == "go forward ten meters"
    assert best.confidence > 0.5


def test_a_digit_string_of_tidigits_is_heard(engine: PocketSphinxEngine) -> None:
    # The file's name is what is said: 2934z, z for zero.
    listen(engine, DIGITS)
    best = engine.recognise(whole(sound("tidigits/dhd.2934z.raw"))).hypotheses[0]
    assert best.text == "two nine three four zero"


def test_words_carry_times_inside_the_utterance_and_confidences(
    engine: PocketSphinxEngine,
) -> None:
    listen(engine, recording("cards/cards.gram").read_text())
    utterance = whole(sound("cards/005.wav"))
    words = engine.recognise(utterance).hypotheses[0].words
    starts = [w.start_s for w in words]
    assert starts == sorted(starts)
    assert all(0.0 <= w.start_s < w.end_s <= utterance.end_s for w in words)
    assert all(0.0 <= w.confidence <= 1.0 for w in words)


def test_alternatives_are_other_readings_each_once(engine: PocketSphinxEngine) -> None:
    listen(engine, DIGITS)
    texts = [h.text for h in engine.recognise(whole(sound("tidigits/dhd.2934z.raw"))).hypotheses]
    assert len(texts) == len(set(texts))


def test_it_tells_how_far_alternatives_lie_behind_its_best(engine: PocketSphinxEngine) -> None:
    """The card game's recordings, where a card more or less is nearly as likely."""
    listen(engine, recording("cards/cards.gram").read_text())
    alternatives = 0
    for name in transcription():
        best, *others = engine.recognise(whole(sound(f"cards/{name}.wav"))).hypotheses
        behind = [h.behind for h in others if h.behind is not None]
        assert best.behind == 0.0
        assert behind == sorted(behind)
        assert all(nats > 0.0 for nats in behind)
        assert len(behind) == len(others)
        alternatives += len(others)
    assert alternatives


def test_a_lexicon_word_is_heard_as_the_trade_says_it(engine: PocketSphinxEngine) -> None:
    listen(engine, THOUS)
    heard = engine.recognise(whole(say("reading five thou", "slt")))
    assert heard.hypotheses[0].text == "reading five thou"


def test_switching_back_and_forth_between_grammars(engine: PocketSphinxEngine) -> None:
    for _ in range(2):
        listen(engine, THOUS)
        assert engine.recognise(whole(say("reading two thou", "rms"))).hypotheses
        listen(engine, COMMANDS)
        heard = engine.recognise(whole(say("stop work", "rms")))
        assert heard.hypotheses[0].text == "stop work"


def test_a_word_without_a_sound_is_named(engine: PocketSphinxEngine) -> None:
    jsgf = "#JSGF V1.0; grammar g; public <g> = seat the zibblewick;"
    with pytest.raises(SpeechError, match=r"'zibblewick'.*lexicon"):
        listen(engine, jsgf)


def test_a_grammar_that_is_not_jsgf_is_refused(engine: PocketSphinxEngine) -> None:
    with pytest.raises(SpeechError, match="cannot read this grammar"):
        engine.listen_for("hello", ("hello",))


def test_listening_before_a_grammar_is_taken_up_is_refused() -> None:
    with pytest.raises(SpeechError, match="no grammar"):
        PocketSphinxEngine().recognise(whole(np.zeros(16_000, np.int16)))


def test_silence_is_nothing(engine: PocketSphinxEngine) -> None:
    listen(engine, COMMANDS)
    heard = engine.recognise(whole(np.zeros(16_000, np.int16))).hypotheses
    assert not heard or heard[0].confidence < 0.5
