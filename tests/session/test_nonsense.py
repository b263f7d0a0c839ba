"""Noise, music and other talk never advance a step, whatever is awaited."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from assistant.audio.file_source import read_audio
from assistant.audio.synthesis.noises import NOISES
from assistant.dialogue.core import advance
from assistant.dialogue.events import Heard
from assistant.dialogue.expectation import listening
from assistant.dialogue.state import State
from assistant.language import Language
from assistant.language.hypothesis import typed
from assistant.session.edges import EndOfInput
from assistant.session.spoken_input import SpokenInput
from assistant.session.stand_in import next_line
from assistant.speech.ear.engine import EarEngine
from assistant.speech.ear.features import Matrix
from assistant.speech.ear.posteriors import Acoustics, PhoneModel
from assistant.speech.ear.shipped import MODEL
from assistant.speech.endpoint import utterances
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance
from tests.session.kit import SHAFT, Edges, MemoryJournal, demo_context, new_session, opened

pytestmark = pytest.mark.audio

CONTEXT = demo_context()
AT = "2026-01-05T08:00:00+00:00"
TALK = Path("/usr/share/pocketsphinx/test/data/librivox")  # Debian package pocketsphinx-testdata


def moments() -> dict[str, State]:
    """The first state of each kind of moment of the demonstration."""
    session = new_session(MemoryJournal(), Edges(), CONTEXT)
    state, _ = advance(CONTEXT, State(), opened(session))
    found = {type(state.awaiting).__name__: state}
    for _ in range(40):
        line = next_line(CONTEXT, state, SHAFT)
        if line is None:
            break
        state, _ = advance(CONTEXT, state, Heard(at=AT, recognition=typed(line)))
        found.setdefault(type(state.awaiting).__name__, state)
    return found


def nonsense() -> dict[str, Samples]:
    """Sounds that are not commands: workshop noises, music, read books."""
    sounds: dict[str, Samples] = {}
    for name, noise in NOISES.items():
        sound = noise(SAMPLE_RATE * 5, 11)
        level = 3000.0 / max(float(np.sqrt(np.mean(sound**2))), 1e-9)
        sounds[name] = np.clip(sound * level, -32768, 32767).astype(np.int16)
    recordings = sorted(TALK.glob("*.wav"))
    assert recordings, "Install Debian's pocketsphinx-testdata: scripts/install_system.sh --tests"
    for path in recordings[:2]:
        sounds[path.stem] = read_audio(path)[: SAMPLE_RATE * 15]
    return sounds


STATES = moments()
SOUNDS = nonsense()


class HeardOnce:
    """The acoustic model, which knows no grammar: the same sound is heard once for all of them."""

    def __init__(self, inner: Acoustics) -> None:
        self._inner = inner
        self._known: dict[bytes, Matrix] = {}

    def __call__(self, samples: Samples) -> Matrix:
        sound = samples.tobytes()
        if sound not in self._known:
            self._known[sound] = self._inner(samples)
        return self._known[sound]


@pytest.fixture(scope="module")
def engine() -> EarEngine:
    language = CONTEXT.language
    assert isinstance(language, Language)
    return EarEngine(HeardOnce(PhoneModel(MODEL)), language.pronunciations)


@pytest.mark.parametrize("sound", SOUNDS)
@pytest.mark.parametrize("moment", STATES)
def test_nonsense_moves_nothing(moment: str, sound: str, engine: EarEngine) -> None:
    state = STATES[moment]
    language = CONTEXT.language
    assert isinstance(language, Language)
    source = SpokenInput(engine, language, _stream(SOUNDS[sound]))
    while True:
        expected = listening(CONTEXT, state)
        try:
            heard = source.hear(expected, None)
        except EndOfInput:
            break
        assert heard is not None
        state, _ = advance(CONTEXT, state, Heard(at=AT, recognition=heard.recognition))
    before = STATES[moment]
    assert (state.step, state.outcomes, state.values) == (
        before.step,
        before.outcomes,
        before.values,
    )


def _stream(samples: Samples) -> Iterator[Utterance | None]:
    quiet = np.zeros(SAMPLE_RATE, np.int16)
    return iter(list(utterances([quiet, samples, quiet])))
