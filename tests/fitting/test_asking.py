"""The check at a microphone: each phrase is asked for once, and again when nothing was heard."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from assistant.audio.file_source import FileSource
from assistant.evaluation.corpora import Task
from assistant.evaluation.states import STATES
from assistant.fitting.taking import Checker, from_microphone
from assistant.fitting.words import Asked
from assistant.language import Language
from assistant.speech.types import SAMPLE_RATE, Samples
from tests.ears import shipped_ear
from tests.fitting.recordings import read_aloud, write

DOING = Task("doing", STATES["doing"])
PHRASES = [Asked(text, DOING, "command") for text in ("go on", "stop work", "where am i")]


def silence(seconds: float) -> Samples:
    sound = 3.0 * np.random.default_rng(2).standard_normal(int(seconds * SAMPLE_RATE))
    samples: Samples = np.round(sound).astype(np.int16)
    return samples


@pytest.mark.audio
def test_each_phrase_is_asked_for_once_and_again_when_nothing_was_heard(tmp_path: Path) -> None:
    sound = np.concatenate(
        # The second phrase comes only when asked for again, the third not at all.
        (silence(3.2), read_aloud(["go on"]), silence(6.5), read_aloud(["stop work"]), silence(14))
    )
    source = FileSource(write(tmp_path / "bench.wav", sound))
    language = Language.load("en-US")
    engine = shipped_ear()
    questions: list[tuple[str, bool]] = []
    taken = from_microphone(
        Checker(engine, language),
        PHRASES,
        source.blocks(),
        lambda asked, again: questions.append((asked.text, again)),
    )
    assert questions == [
        ("go on", False),
        ("stop work", False),
        ("stop work", True),
        ("where am i", False),
        ("where am i", True),
    ]
    assert [(t.heard, t.right) for t in taken.takes] == [
        ("go on", True),
        ("stop work", True),
        ("", False),
    ]
    assert len(taken.speech) == 2
    heard_s = sum(map(len, taken.speech)) / SAMPLE_RATE
    assert len(taken.room) / SAMPLE_RATE > len(sound) / SAMPLE_RATE - heard_s - 3.0
