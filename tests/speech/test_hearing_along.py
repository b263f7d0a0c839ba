"""An utterance followed while it is spoken gives the answer of one that comes as a whole."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.audio.synthesis import say
from assistant.language.automaton import automaton_of
from assistant.speech.along import HearsAlong
from assistant.speech.endpoint import Endpointer, EndpointSettings, Listening
from assistant.speech.following import FollowedBy
from assistant.speech.patience import Patience, quiet_needed
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance
from tests.speech.recordings import grammar_words, sound, whole

pytestmark = pytest.mark.audio

DIGITS = """#JSGF V1.0; grammar digits; public <digits> = <digit>+;
<digit> = zero | oh | one | two | three | four | five | six | seven | eight | nine;"""
COMMANDS = "#JSGF V1.0; grammar c; public <c> = stop work | go on [then] | take a note;"
QUIET = np.zeros(SAMPLE_RATE, np.int16)


@pytest.fixture(scope="module")
def engine() -> PocketSphinxEngine:
    return PocketSphinxEngine()


def listen(engine: PocketSphinxEngine, jsgf: str) -> None:
    engine.listen_for(jsgf, grammar_words(jsgf))


def blocks(samples: Samples, sizes: list[int]) -> Iterator[Samples]:
    at = turn = 0
    while at < len(samples):
        size = sizes[turn % len(sizes)]
        yield samples[at : at + size]
        at, turn = at + size, turn + 1


def test_it_hears_along(engine: PocketSphinxEngine) -> None:
    assert isinstance(engine, HearsAlong)


@settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.lists(st.integers(1, 9000), min_size=1, max_size=6), st.booleans())
def test_the_size_of_blocks_changes_nothing(
    engine: PocketSphinxEngine, sizes: list[int], another_before: bool
) -> None:
    # TIDIGITS names its files by what is said: 2934z, z for zero.
    listen(engine, DIGITS)
    utterance = whole(sound("tidigits/dhd.2934z.raw"))
    at_once = engine.recognise(utterance)
    assert at_once.hypotheses[0].text == "two nine three four zero"
    if another_before:
        engine.recognise(whole(say("seven one", "rms")))
    engine.begin()
    for block in blocks(utterance.samples, sizes):
        engine.feed(block)
    assert engine.recognise(utterance) == at_once


def test_words_come_while_they_are_spoken(engine: PocketSphinxEngine) -> None:
    listen(engine, DIGITS)
    samples = sound("tidigits/dhd.2934z.raw")
    engine.begin()
    heard = []
    for block in blocks(samples, [1600]):
        engine.feed(block)
        heard.append(engine.so_far())
    assert heard[0] == ""
    assert heard[-1] == "two nine three four zero"
    assert "two nine" in heard


def test_sound_other_than_what_was_followed_is_heard_afresh(engine: PocketSphinxEngine) -> None:
    listen(engine, COMMANDS)
    engine.begin()
    engine.feed(say("take a note", "slt"))
    assert engine.recognise(whole(say("stop work", "slt"))).hypotheses[0].text == "stop work"


def test_a_new_grammar_ends_what_was_followed(engine: PocketSphinxEngine) -> None:
    listen(engine, DIGITS)
    spoken = say("stop work", "slt")
    engine.begin()
    engine.feed(spoken)
    listen(engine, COMMANDS)
    assert engine.so_far() == ""
    assert engine.recognise(whole(spoken)).hypotheses[0].text == "stop work"


def cut(engine: PocketSphinxEngine, jsgf: str, samples: Samples, size: int) -> list[Utterance]:
    """Utterances of a stream that ``engine`` hears along with."""
    listen(engine, jsgf)
    following = FollowedBy(engine)
    following.grammar(jsgf)
    listening = Listening(blocks(np.concatenate((QUIET, samples, QUIET, QUIET)), [size]))
    listening.tell(following)
    return [utterance for utterance in listening if utterance is not None]


def test_a_whole_command_is_ended_sooner_than_an_open_one(engine: PocketSphinxEngine) -> None:
    usual = Endpointer(EndpointSettings()).feed(
        np.concatenate((QUIET, say("stop work", "slt"), QUIET, QUIET))
    )
    (command,) = cut(engine, COMMANDS, say("stop work", "slt"), 1600)
    (digits,) = cut(engine, DIGITS, say("seven one", "slt"), 1600)
    assert command.spoken is not None
    assert digits.spoken is not None
    after = [(len(u.samples) - u.spoken) / SAMPLE_RATE for u in (command, digits)]
    assert after == pytest.approx([Patience().whole, Patience().open_end])
    assert command.end_s < usual[0].end_s


def test_where_an_utterance_ends_does_not_hang_on_the_blocks(engine: PocketSphinxEngine) -> None:
    spoken = np.concatenate((say("stop work", "rms"), QUIET, say("take a note", "slt")))
    first = cut(engine, COMMANDS, spoken, 480)
    assert len(first) == 2
    again = cut(engine, COMMANDS, spoken, 50_000)
    assert [(u.start_s, u.end_s) for u in again] == [(u.start_s, u.end_s) for u in first]


@pytest.mark.parametrize(
    ("text", "quiet"),
    [
        ("stop work", "whole"),
        ("go on", "open_end"),
        ("go on then", "whole"),
        ("stop", "unfinished"),
        ("note", "unfinished"),
    ],
)
def test_the_quiet_needed_follows_from_the_grammar(text: str, quiet: str) -> None:
    patience = Patience()
    assert quiet_needed(text, automaton_of(COMMANDS), patience) == getattr(patience, quiet)


def test_half_a_phrase_is_never_the_answer(engine: PocketSphinxEngine) -> None:
    jsgf = "#JSGF V1.0; grammar h; public <h> = read the cautions | three four | that is right;"
    listen(engine, jsgf)
    for spoken in ("read the", "three", "that is", "read"):
        for speaker in ("slt", "kal16"):
            for heard in engine.recognise(whole(say(spoken, speaker))).hypotheses:
                assert automaton_of(jsgf).accepts(heard.text.split())
