"""The voice check as a builder runs it: a real engine, synthetic voices, good and poor sound."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from assistant.cli.main import app
from assistant.fitting.profile import Profile, load
from assistant.fitting.words import load_words
from assistant.language import Language
from assistant.speech.ear.features import Matrix
from assistant.speech.ear.posteriors import PhoneModel
from assistant.speech.types import Samples
from tests.fitting.recordings import read_aloud, write

pytestmark = pytest.mark.audio

LANGUAGE = Language.load("en-US")
PHRASES = [a.text for a in load_words(LANGUAGE, "en-US").asked]
FEW = ["go on", "where am i", "stop work", "reading fifteen thou", "one point five"]
BUILDER = "Marta Quill"


@pytest.fixture(scope="module", autouse=True)
def _heard_once() -> Iterator[None]:
    """The same sound, read aloud in several tests, goes through the acoustic model once."""
    heard: dict[bytes, Matrix] = {}
    once = PhoneModel.__call__

    def again(model: PhoneModel, samples: Samples) -> Matrix:
        key = samples.tobytes()
        if key not in heard:
            heard[key] = once(model, samples)
        return heard[key].copy()

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(PhoneModel, "__call__", again)
        yield


@pytest.fixture(autouse=True)
def _own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_CONFIG", str(tmp_path / "config"))


def fit(audio: Path, *more: str) -> Result:
    return CliRunner().invoke(
        app,
        ["fit", "--builder", BUILDER, "--audio", str(audio), *more],
    )


def folder(place: Path, **microphone: Any) -> Path:
    """A folder of recordings as the hearing bench takes it."""
    place.mkdir()
    lines = []
    for number, phrase in enumerate(FEW):
        write(place / f"{number}.wav", read_aloud([phrase], **microphone))
        lines.append(f"{number}.wav\t{phrase}\n")
    (place / "transcript.tsv").write_text("".join(lines), "utf-8")
    return place


def checked(place: Path, **microphone: object) -> tuple[Profile, str]:
    result = fit(folder(place, **microphone))
    assert result.exit_code == 0, result.output
    profile = load(BUILDER)
    assert profile is not None
    return profile, result.output


@pytest.mark.slow
def test_a_good_microphone_gives_a_profile_that_the_next_session_loads(tmp_path: Path) -> None:
    recording = write(tmp_path / "check.wav", read_aloud(PHRASES))
    result = fit(recording)
    assert result.exit_code == 0, result.output
    profile = load(BUILDER)
    assert profile is not None
    assert [p.asked for p in profile.phrases] == PHRASES
    assert sum(p.right for p in profile.phrases) >= len(PHRASES) - 4
    assert profile.levels.speech_dbov == pytest.approx(-26, abs=1.5)
    assert "level is good" in result.output
    assert "too loud" not in result.output
    shift = write(tmp_path / "shift.wav", read_aloud(["stop work", "that is right"]))
    arguments = ["--voice", "silent"]
    people = ["--builder", "marta quill", "--inspector", "Otto Brandwick"]
    run = ["run", "kb2_input_shaft", *people, *arguments, "--audio", str(shift)]
    said = CliRunner().invoke(app, run).output
    assert said.count("Voice profile of Marta Quill") == 1
    resumed = CliRunner().invoke(app, ["resume", *arguments, "--audio", str(shift)]).output
    assert resumed.count("Voice profile of Marta Quill") == 1
    without = CliRunner().invoke(app, [*run, "--no-profile"]).output
    assert "Voice profile" not in without


def test_poor_microphones_give_other_profiles_and_say_what_to_do(tmp_path: Path) -> None:
    good, told = checked(tmp_path / "good")
    assert "level is good" in told
    quiet, told = checked(tmp_path / "quiet", gain_db=-26.0)
    assert quiet.levels.speech_dbov == pytest.approx(good.levels.speech_dbov - 26, abs=1.0)
    assert "turn the microphone up" in told
    cut, told = checked(tmp_path / "cut", gain_db=26.0)
    assert cut.levels.clipped > 0.01 > good.levels.clipped
    assert "cut off at the top: turn the microphone down" in told
    noisy, told = checked(tmp_path / "noisy", noise=("hum", 10.0))
    assert noisy.levels.snr_db == pytest.approx(10.0, abs=2.5)
    assert good.levels.snr_db > 40.0
    assert "noise is too loud" in told
    assert all(p.thresholds.sure >= 0.8 for p in (good, quiet, cut, noisy))


def test_a_recording_that_does_not_hold_the_phrases_is_one_sentence(tmp_path: Path) -> None:
    result = fit(write(tmp_path / "few.wav", read_aloud(FEW)))
    assert result.exit_code == 2
    assert "holds 5 stretches of speech for 28 phrases" in result.output
    assert load(BUILDER) is None


def test_a_phrase_that_was_left_out_is_not_heard_and_the_others_are(tmp_path: Path) -> None:
    # The later it is, the less there is that the first test has not heard.
    few = [p for p in PHRASES if p != "correction"]
    result = fit(write(tmp_path / "check.wav", read_aloud(few)), "--no-keep")
    lines = {line[2:46].strip(): line for line in result.output.splitlines()}
    assert "not heard" in lines["correction"]
    assert "right" in lines["reading one point five thou"]
    assert load(BUILDER) is None


def test_silence_leaves_no_profile(tmp_path: Path) -> None:
    place = tmp_path / "silent"
    place.mkdir()
    write(place / "a.wav", read_aloud([]))
    (place / "transcript.tsv").write_text("a.wav\tgo on\n", "utf-8")
    result = fit(place)
    assert result.exit_code == 2
    assert "Nothing was said" in result.output
    assert load(BUILDER) is None


def test_a_broken_profile_is_told_of_and_the_session_goes_on(tmp_path: Path) -> None:
    place = tmp_path / "config" / "voices"
    place.mkdir(parents=True)
    (place / "marta-quill.json").write_text("{", "utf-8")
    shift = write(tmp_path / "shift.wav", read_aloud(["stop work", "that is right"]))
    said = CliRunner().invoke(
        app,
        ["run", "kb2_input_shaft", "--builder", BUILDER, "--inspector", "Otto Brandwick",
         "--voice", "silent", "--audio", str(shift)],
    )  # fmt: skip
    assert "marta-quill.json cannot be read" in said.output
    assert "Work is stopped and saved" in said.output
