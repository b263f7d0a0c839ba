"""How much quiet ends an utterance, and that the recogniser that ships is asked in time."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from assistant.audio.synthesis import say
from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.language.automaton import automaton_of
from assistant.language.hypothesis import Recognition
from assistant.language.policy import Policy
from assistant.language.trust import Act, understand
from assistant.speech.ear.engine import EarEngine
from assistant.speech.endpoint import Endpointer, EndpointSettings, Listening
from assistant.speech.patience import Patience, quiet_needed
from assistant.speech.speculative import SpeculativeFollower
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance
from tests.ears import shipped_ear
from tests.speech.recordings import grammar_words

DIGITS = """#JSGF V1.0; grammar digits; public <digits> = <digit>+;
<digit> = zero | oh | one | two | three | four | five | six | seven | eight | nine;"""
COMMANDS = "#JSGF V1.0; grammar c; public <c> = stop work | go on [then] | take a note;"
LANGUAGE = Language.load("en-US")
QUIET = np.zeros(SAMPLE_RATE, np.int16)


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


def blocks(samples: Samples, size: int) -> Iterator[Samples]:
    yield from (samples[at : at + size] for at in range(0, len(samples), size))


def cut(engine: EarEngine, jsgf: str, samples: Samples, size: int) -> list[Utterance]:
    """Utterances of a stream that ``engine`` follows."""
    engine.listen_for(jsgf, grammar_words(jsgf))
    following = SpeculativeFollower(engine)
    following.grammar(jsgf)
    listening = Listening(blocks(np.concatenate((QUIET, samples, QUIET, QUIET)), size))
    listening.tell(following)
    return [utterance for utterance in listening if utterance is not None]


@pytest.mark.audio
def test_a_whole_command_is_ended_sooner_than_an_open_one() -> None:
    usual = Endpointer(EndpointSettings()).feed(
        np.concatenate((QUIET, say("stop work", "slt"), QUIET, QUIET))
    )
    (command,) = cut(shipped_ear(), COMMANDS, say("stop work", "slt"), 1600)
    (digits,) = cut(shipped_ear(), DIGITS, say("seven one", "slt"), 1600)
    after = [(len(u.samples) - (u.spoken or 0)) / SAMPLE_RATE for u in (command, digits)]
    assert after == pytest.approx([Patience().whole, Patience().open_end])
    assert command.end_s < usual[0].end_s


@pytest.mark.audio
def test_where_an_utterance_ends_does_not_hang_on_the_blocks() -> None:
    spoken = np.concatenate((say("stop work", "rms"), QUIET, say("take a note", "slt")))
    first = cut(shipped_ear(), COMMANDS, spoken, 480)
    assert len(first) == 2
    again = cut(shipped_ear(), COMMANDS, spoken, 50_000)
    assert [(u.start_s, u.end_s) for u in again] == [(u.start_s, u.end_s) for u in first]


@pytest.mark.audio
def test_shown_at_a_pause_or_not_the_answer_is_the_same() -> None:
    engine = shipped_ear()
    (utterance,) = cut(engine, DIGITS, say("nine five one", "rms"), 1600)
    shown = engine.recognise(utterance)
    engine.begin()
    assert engine.recognise(utterance) == shown
    assert shown.hypotheses[0].text == "nine five one"


@pytest.mark.audio
@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("fifty seven point zero", "five one millimeters"),
        ("fifty seven", "point zero five one millimeters"),
        ("forty point five one", "five"),
    ],
)
def test_a_pause_in_a_value_does_not_end_it(before: str, after: str) -> None:
    """A second, as of somebody who looks at the dial again."""
    spoken = np.concatenate((say(f"reading {before}", "slt"), QUIET, say(after, "slt")))
    engine = shipped_ear()
    (value,) = cut(engine, LANGUAGE.jsgf(STATES["journal"]), spoken, 1600)
    assert engine.recognise(value).hypotheses[0].text == f"reading {before} {after}"


@pytest.mark.audio
@pytest.mark.parametrize(
    ("state", "said"),
    [
        ("journal", "reading fifty seven point"),
        ("runout", "reading three point"),
        ("torque", "reading one hundred and"),
        ("journal", "reading forty one point five and"),
        ("digits", "five seven point"),
    ],
)
@pytest.mark.parametrize("speaker", ["slt", "awb", "espeak_us"])
def test_a_value_that_stops_where_more_must_follow_is_not_taken(
    state: str, said: str, speaker: str
) -> None:
    """A longer pause than anything waits for: the beginning of a value is no value."""
    spec, engine = STATES[state], shipped_ear()
    (utterance,) = cut(engine, LANGUAGE.jsgf(spec), say(said, speaker), 1600)
    recognition = engine.recognise(utterance)
    assert recognition.hypotheses
    assert not isinstance(understand(Policy(), LANGUAGE, spec, recognition), Act)


class Whole:
    """An engine that hears an utterance only when it has ended."""

    name = "whole"

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None: ...

    def recognise(self, utterance: Utterance) -> Recognition:
        return Recognition((), self.name)


def test_an_engine_that_cannot_tell_how_far_a_value_has_come_waits_as_long() -> None:
    following = SpeculativeFollower(Whole())
    for state, quiet in (("journal", Patience().open_end), ("doing", None)):
        following.grammar(LANGUAGE.jsgf(STATES[state]))
        assert following.quiet_needed() == quiet
    following.grammar(None)
    assert following.quiet_needed() is None
