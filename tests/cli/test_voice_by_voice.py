"""Rate and loudness set by voice reach the sound, and are there again when work is resumed."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile
from typer.testing import CliRunner, Result

from assistant.cli.main import app
from assistant.cli.speaking import open_voice, voice_output
from assistant.dialogue.effects import Say
from assistant.speech.errors import SpeechError
from assistant.voice.voices import SilentVoice

pytestmark = pytest.mark.audio
RUN = ("run", "kb2_coupling_guard", "--builder", "Otto Brandwick", "--inspector", "Marta Quill")
STOP = ["stop work", "that is right"]


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))


def call(*arguments: str, lines: list[str]) -> Result:
    typed = "\n".join(lines) + "\n"
    return CliRunner().invoke(app, [*arguments, "--keyboard"], input=typed)


def sound(folder: Path, slug: str) -> tuple[float, float]:
    """Seconds and peak of the last line that was spoken under a name that holds ``slug``."""
    path = sorted(folder.glob(f"*{slug}*.wav"))[-1]
    samples, rate = soundfile.read(path)
    loud = np.flatnonzero(np.abs(samples) > 0.001)
    return float(loud[-1] - loud[0]) / rate, float(np.abs(samples).max())


def test_slower_and_quieter_are_heard_and_survive_stopping(tmp_path: Path) -> None:
    first, second = tmp_path / "first", tmp_path / "second"
    asked = ["where am i", "speak slower", "speak slower", "speak quieter", "where am i", *STOP]
    done = call(*RUN, "--voice", str(first), lines=asked)
    assert "Work is stopped" in done.output, done.output
    usual_s, usual_peak = _first(first, "job-kb2")
    slow_s, quiet_peak = sound(first, "job-kb2")
    assert slow_s > 1.15 * usual_s
    # 3 dB less: 0.708 of the amplitude; the same words, so the same peak but for rounding
    assert quiet_peak == pytest.approx(usual_peak * 10 ** (-3 / 20), rel=0.12)
    done = call("resume", "--voice", str(second), lines=["where am i"])
    assert done.exit_code == 0, done.output
    again_s, again_peak = sound(second, "job-kb2")
    assert again_s == pytest.approx(slow_s, rel=0.05)
    assert again_peak == pytest.approx(quiet_peak, rel=0.05)


def _first(folder: Path, slug: str) -> tuple[float, float]:
    path = sorted(folder.glob(f"*{slug}*.wav"))[0]
    samples, rate = soundfile.read(path)
    loud = np.flatnonzero(np.abs(samples) > 0.001)
    return float(loud[-1] - loud[0]) / rate, float(np.abs(samples).max())


def test_the_voice_says_when_it_goes_no_further() -> None:
    done = call(*RUN, "--voice", "silent", lines=["speak louder"] * 3)
    assert done.output.count("Louder.") == 2
    assert "as far as the voice goes" in done.output


class Failing(SilentVoice):
    """A voice whose loudspeaker comes and goes."""

    working = False

    def speak(self, text: str, tone: str = "plain") -> None:
        if not self.working:
            raise SpeechError("The loudspeaker is gone; plug it in again.")
        super().speak(text)


def test_a_voice_that_fails_is_told_of_once_and_stops_nothing(
    capsys: pytest.CaptureFixture[str],
) -> None:
    voice = Failing()
    output = voice_output(voice)
    output.say(Say("Step one."))
    output.say(Say("Step two."))
    voice.working = True
    output.say(Say("Step three."))
    voice.working = False
    output.say(Say("Step four."))
    assert capsys.readouterr().err.count("plug it in again") == 2
    assert voice.said == ["Step three."]


def test_a_voice_that_cannot_be_had_is_one_sentence_and_another_is_taken(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path))  # no model lies there
    monkeypatch.setenv("PATH", "")
    open_voice("piper")
    told = capsys.readouterr().out.splitlines()
    assert "assembly-assistant models fetch piper-joe-medium" in told[0]
    assert told[0].endswith("Going on with the usual voice.")
