"""A voice whose lines are made first: real synthesisers, a loudspeaker that keeps what it plays."""

from __future__ import annotations

import subprocess
from concurrent.futures import Future
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path

import numpy as np
import pytest

from assistant.language.tone import Tone
from assistant.models.places import best_installed
from assistant.speech.errors import SpeechError
from assistant.speech.types import Samples
from assistant.voice.espeak import EspeakSynthesiser
from assistant.voice.piper import PiperSynthesiser
from assistant.voice.played_voice import PlayedVoice, Synthesiser
from assistant.voice.spoken_cache import Spoken, SpokenCache

pytestmark = pytest.mark.audio
TEXT = "Caution. Close the penstock valve. Say caution understood."


@dataclass
class KeepingPlayer:
    """A loudspeaker that keeps what it plays; cut short after ``most`` pieces."""

    most: int = 99
    played: list[Samples] = field(default_factory=list)
    stopped: int = 0

    def play(self, samples: Samples, rate: int) -> bool:
        self.played.append(samples)
        return len(self.played) < self.most

    def play_when(self, made: Future[Spoken]) -> bool:
        spoken = made.result()
        return self.play(spoken.samples, spoken.rate)

    def stop(self) -> None:
        self.stopped += 1

    @property
    def sound(self) -> Samples:
        return np.concatenate(self.played)


@dataclass
class Counting:
    """A synthesiser that counts what is made."""

    inner: Synthesiser
    made: list[str] = field(default_factory=list)
    name: str = "counting"

    @property
    def identity(self) -> str:
        return self.inner.identity

    def prepared(self, text: str, tone: Tone) -> str:
        return self.inner.prepared(text, tone)

    def synthesise(self, prepared: str, words_per_minute: int) -> Spoken:
        self.made.append(prepared)
        return self.inner.synthesise(prepared, words_per_minute)


def voice(
    folder: Path, synthesiser: Synthesiser | None = None, player: KeepingPlayer | None = None
) -> tuple[PlayedVoice, Counting, KeepingPlayer]:
    counting = Counting(synthesiser or EspeakSynthesiser("en-US"))
    keeping = player or KeepingPlayer()
    return PlayedVoice(counting, keeping, SpokenCache(folder), 150, 1.0), counting, keeping


def test_a_line_said_again_is_the_same_sound_and_not_made_again(tmp_path: Path) -> None:
    first, made, player = voice(tmp_path)
    first.speak(TEXT, "caution")
    assert len(made.made) == 3
    second, made_again, player_again = voice(tmp_path)
    second.speak(TEXT, "caution")
    assert made_again.made == []
    assert np.array_equal(player.sound, player_again.sound)


def test_a_foreseen_line_is_there_when_it_is_wanted(tmp_path: Path) -> None:
    speaking, made, player = voice(tmp_path)
    speaking.foresee(TEXT, "caution")
    assert player.played == []
    before = list(made.made)
    speaking.speak(TEXT, "caution")
    assert made.made == before


def test_a_broken_line_is_made_again(tmp_path: Path) -> None:
    speaking, made, player = voice(tmp_path)
    speaking.speak("Step done.")
    (path,) = tmp_path.iterdir()
    path.write_bytes(path.read_bytes()[:-100])
    speaking.speak("Step done.")
    assert len(made.made) == 2
    assert np.array_equal(player.played[0], player.played[1])


def test_faster_is_shorter_and_quieter_is_weaker(tmp_path: Path) -> None:
    speaking, _, player = voice(tmp_path)
    speaking.speak("Set the wrench to forty newton meters.")
    speaking.set_rate(210)
    speaking.speak("Set the wrench to forty newton meters.")
    speaking.set_volume(0.5)
    speaking.speak("Set the wrench to forty newton meters.")
    usual, faster, quieter = player.played
    assert len(faster) < 0.85 * len(usual)
    assert np.abs(quieter).max() == pytest.approx(np.abs(faster).max() / 2, abs=1)


def test_cautions_are_set_apart_by_longer_pauses(tmp_path: Path) -> None:
    lengths: dict[Tone, float] = {}
    tones: tuple[Tone, ...] = ("plain", "caution")
    for tone in tones:
        speaking, _, player = voice(tmp_path / tone)
        speaking.speak("Shims cut. Wear gloves.", tone)
        lengths[tone] = len(player.sound) / 22050
    assert lengths["caution"] > lengths["plain"] + 0.3


def test_cut_short_it_says_no_more(tmp_path: Path) -> None:
    speaking, _, player = voice(tmp_path, player=KeepingPlayer(most=1))
    speaking.speak(TEXT, "caution")
    assert len(player.played) == 1
    speaking.stop()
    assert player.stopped == 1


def test_a_synthesiser_that_fails_is_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    speaking, _, _ = voice(tmp_path)
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(SpeechError, match="apt-get install espeak-ng"):
        speaking.speak("Step done.")


def test_espeak_without_a_sound_card_is_a_fault_and_not_silence(tmp_path: Path) -> None:
    """espeak-ng 1.51 ends with status 0 there; what it says on standard error tells."""
    from assistant.voice.voices import EspeakVoice

    nowhere = tmp_path / "asound.conf"
    nowhere.write_text("")
    probe = subprocess.run(
        ("env", f"ALSA_CONFIG_PATH={nowhere}", "PULSE_SERVER=unix:/nonexistent",
         "espeak-ng", "--stdin"), input=b"a", capture_output=True, check=False,
    )  # fmt: skip
    if b"error" not in probe.stderr:
        pytest.skip("this espeak-ng speaks by another way than ALSA")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("ALSA_CONFIG_PATH", str(nowhere))
        patch.setenv("PULSE_SERVER", "unix:/nonexistent")
        with pytest.raises(SpeechError, match="check the sound card"):
            EspeakVoice().speak("Step done.")


PLACE = best_installed("piper")
NEURAL = find_spec("piper") is not None and PLACE is not None


@pytest.mark.skipif(not NEURAL, reason="piper-tts or its voice piper-joe-medium is not installed")
def test_the_neural_voice_speaks_and_its_lines_are_kept(tmp_path: Path) -> None:
    assert PLACE is not None
    speaking, made, player = voice(tmp_path, PiperSynthesiser(PLACE, "en-US"))
    text = "Set the wrench to forty newton meters, four zero."
    speaking.speak(text)
    speaking.speak(text)
    assert made.made == ["Set the wrench to forty newton meters, four, zero."]
    assert np.array_equal(player.played[0], player.played[1])
    assert len(player.played[0]) > 22050
    speaking.set_rate(240)
    speaking.speak(text)
    assert len(player.played[2]) < len(player.played[0])


def test_a_folder_without_a_voice_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(SpeechError, match=r"one voice file|piper-tts"):
        PiperSynthesiser(tmp_path, "en-US")
