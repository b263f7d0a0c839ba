"""Corpora by unseen voices, of teens and tens, and of single digits."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.evaluation.conditions import CONDITIONS, heard
from assistant.evaluation.corpora import (
    UNSEEN,
    VOICES,
    folder_corpus,
    other_units,
    readings,
    teens_and_tens,
)
from assistant.evaluation.false_accepts import listen, recorded_talk
from assistant.evaluation.hearing import Listener
from assistant.evaluation.pacing import TimedFollower
from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.spec import Digits, Reading
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance

LANGUAGE = Language.load("en-US")
PAIRS = {
    "thirteen": "thirty", "fourteen": "forty", "fifteen": "fifty", "sixteen": "sixty",
    "seventeen": "seventy", "eighteen": "eighty", "nineteen": "ninety",
}  # fmt: skip


def test_teens_come_with_their_tens_in_the_same_frame() -> None:
    texts = {item.text for item in teens_and_tens(LANGUAGE, 10_000, 1).items}
    for text in texts:
        teen = next((w for w in text.split() if w in PAIRS), None)
        if teen is not None and "point" not in text and "thou" not in text:
            assert text.replace(teen, PAIRS[teen]) in texts
    assert sum(any(w in PAIRS for w in t.split()) for t in texts) >= 28


def test_teens_are_all_understood_and_by_unseen_voices() -> None:
    for item in teens_and_tens(LANGUAGE, 40, 3).items:
        assert item.task.spec is not None
        assert len(LANGUAGE.interpret(item.task.spec, item.text)) == 1
        assert item.voice in UNSEEN
        assert item.voice not in VOICES


def test_the_same_readings_by_other_voices() -> None:
    usual, unseen = readings(LANGUAGE, 12, 4), readings(LANGUAGE, 12, 4, UNSEEN)
    assert [i.text for i in usual.items] == [i.text for i in unseen.items]
    assert {i.voice for i in unseen.items} <= set(UNSEEN)


def test_readings_in_another_unit_are_understood_in_it() -> None:
    for item in other_units(LANGUAGE, 60, 2).items:
        spec = item.task.spec
        assert spec is not None
        assert spec.reading is not None
        (meaning,) = LANGUAGE.interpret(spec, item.text)
        assert isinstance(meaning, Reading)
        assert meaning.indication.amount.unit in spec.reading.units[1:]


def test_digits_are_known_by_the_names_of_their_files(tmp_path: Path) -> None:
    """As in the Free Spoken Digit Dataset: digit, speaker, number of the recording."""
    for name in ("7_ada_3.wav", "0_bo_12.wav", "notes.wav"):
        soundfile.write(tmp_path / name, np.zeros(800, np.int16), 8000)
    items = folder_corpus(tmp_path, LANGUAGE).items
    assert [(i.text, i.voice) for i in items] == [("zero", "bo"), ("seven", "ada")]
    (meaning,) = LANGUAGE.interpret(STATES["digits"], items[1].text)
    assert meaning == Digits("7")
    assert len(items[0].sound()) == 1600  # brought to 16 kHz


TONE = np.round(6000 * np.sin(np.arange(16_000) / 9)).astype(np.int16)


def test_distance_and_clipping_change_the_level() -> None:
    near, far = (heard(TONE, CONDITIONS[n], "a", 1).astype(float) for n in ("clean", "far -20 dB"))
    ratio = np.sum(near[8000:20_000] ** 2) / np.sum(far[8000:20_000] ** 2)
    assert 10 * np.log10(ratio) == pytest.approx(20.0, abs=0.2)
    clipped = heard(TONE, CONDITIONS["clipped"], "a", 1)
    assert np.mean(np.abs(clipped[8000:20_000].astype(int)) >= 32_767) > 0.3


class Slow:
    """Begins in a pause; what it does then is counted."""

    name = "slow"

    def __init__(self) -> None:
        self.anticipated = 0

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        pass

    def begin(self) -> None:
        pass

    def so_far(self) -> str:
        return ""

    def quiet_s(self) -> float | None:
        return 0.0

    def quiet_in(self, utterance: Utterance) -> float | None:
        return 0.0

    def anticipate(self, utterance: Utterance) -> None:
        self.anticipated += 1
        sum(range(200_000))

    def recognise(self, utterance: Utterance) -> Recognition:
        return Recognition((), self.name)


def test_work_in_a_pause_is_charged() -> None:
    engine = Slow()
    clock = TimedFollower(engine)
    clock.grammar(LANGUAGE.jsgf(STATES["doing"]))
    clock.begin()
    sound: Samples = np.zeros(3200, np.int16)
    clock.paused(Utterance(sound, 0.0, 0.2))
    assert engine.anticipated == 1
    assert clock.processor_s > 0.0


def test_recorded_talk_comes_in_pieces_with_pauses(tmp_path: Path) -> None:
    for name in ("a.wav", "b.wav", "c.wav"):
        soundfile.write(tmp_path / name, np.tile(TONE, 25), SAMPLE_RATE)
    pieces = [sound for _, sound in recorded_talk(tmp_path)]
    assert [len(p) for p in pieces] == [3 * len(TONE) * 25 + 3 * round(0.9 * SAMPLE_RATE)]
    end = 25 * len(TONE)
    assert np.abs(pieces[0][end + 10 : end + round(0.9 * SAMPLE_RATE) - 10]).max() < 30
    listener = Listener(Slow())
    _, hours = listen(listener, LANGUAGE, recorded_talk(tmp_path), 4)
    assert hours == pytest.approx(4 * len(pieces[0]) / SAMPLE_RATE / 3600)


def test_a_folder_without_recordings_is_refused(tmp_path: Path) -> None:
    with pytest.raises(SpeechError, match="holds no recordings"):
        list(recorded_talk(tmp_path))
