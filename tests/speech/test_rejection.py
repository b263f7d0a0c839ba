"""Sound that is no command must not pass for one. Recordings: Debian's pocketsphinx-testdata."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.audio.synthesis import say
from assistant.audio.synthesis.noises import NOISES, as_samples
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine
from assistant.speech.rejection import Span, loud_elsewhere
from assistant.speech.types import Samples
from tests.speech.recordings import grammar_words, recording, sound, whole

pytestmark = pytest.mark.audio

COMMANDS = """#JSGF V1.0; grammar c; public <c> = step done | go on | stop work | that is wrong
 | reading (one | two | five | nine) (millimeters | inches) | caution understood | repeat that;"""


@pytest.fixture(scope="module")
def engine() -> PocketSphinxEngine:
    engine = PocketSphinxEngine()
    engine.listen_for(COMMANDS, grammar_words(COMMANDS))
    return engine


def passes(engine: PocketSphinxEngine, samples: Samples) -> bool:
    found = engine.recognise(whole(samples)).hypotheses
    return bool(found) and found[0].confidence >= 0.5


@pytest.mark.parametrize("name", sorted(NOISES))
def test_noise_and_music_are_rejected(engine: PocketSphinxEngine, name: str) -> None:
    for seed in range(3):
        noise = NOISES[name](40_000, seed)
        loud = as_samples(noise * (3000 / np.sqrt(np.mean(noise**2))))
        assert not passes(engine, loud), f"{name}, seed {seed}"


def test_a_reader_is_rejected(engine: PocketSphinxEngine) -> None:
    names = sorted(p.name for p in recording("librivox").glob("*.wav"))
    assert len(names) == 5
    assert [n for n in names if passes(engine, sound(f"librivox/{n}"))] == []


@pytest.mark.parametrize("speaker", ["slt", "rms", "kal16"])
def test_commands_pass(engine: PocketSphinxEngine, speaker: str) -> None:
    commands = ("step done", "stop work", "that is wrong", "caution understood")
    assert [c for c in commands if not passes(engine, say(c, speaker))] == []


def test_loud_sound_outside_the_words_is_counted_against_them() -> None:
    loud = np.full(16_000, 3000, np.int16)
    quiet = np.full(16_000, 300, np.int16)  # 20 dB under
    words = [Span("done", 0, 99, 0.0)]
    assert loud_elsewhere(np.concatenate((loud, loud, loud)), words) == 2.0
    assert loud_elsewhere(np.concatenate((loud, quiet, quiet)), words) == 0.0
