"""``doctor``: one line for each thing, with what to do; also where there is no sound at all."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections import namedtuple
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
import soundfile
from typer.testing import CliRunner, Result

from assistant.audio import devices
from assistant.cli import checks
from assistant.cli.main import app
from assistant.cli.workplace import open_store
from assistant.journal.types import Draft
from assistant.voice.espeak_library import EspeakLibrary
from tests.audio.virtual_sound import virtual_sound

Usage = namedtuple("Usage", "total used free")
LINE = re.compile(
    r"^(found  |missing|extra  ) [A-Za-z].*[^.]$|^(missing|extra  ) [A-Za-z].*: .*\.$"
)


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))


def no_sound(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine whose PortAudio finds nothing."""
    nothing = SimpleNamespace(query_devices=lambda **_: [], PortAudioError=RuntimeError)
    monkeypatch.setattr(devices, "portaudio", lambda: nothing)
    monkeypatch.setattr("assistant.audio.inventory.portaudio", lambda: nothing)
    monkeypatch.setattr("assistant.audio.microphone.portaudio", lambda: nothing)


def doctor(*arguments: str) -> Result:
    return CliRunner().invoke(app, ["doctor", *arguments])


def test_without_any_sound_device_it_says_so_and_all_else_is_well(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    no_sound(monkeypatch)
    result = doctor("--pedal", "nosuch")
    assert result.exit_code == 0, result.output
    lines = result.output.splitlines()
    for thing in ("microphone", "loudspeaker", "pedal"):
        (line,) = [x for x in lines if x.split()[1].rstrip(":") == thing]
        assert line.startswith("missing")
    for thing in ("clock", "record", "space", "ear", "voice", "procedures"):
        (line,) = [x for x in lines if x.split()[1].rstrip(":") == thing]
        assert line.startswith("found")
    assert all(LINE.match(line) for line in lines), lines


def test_nothing_to_hear_with_is_a_failure(monkeypatch: pytest.MonkeyPatch) -> None:
    no_sound(monkeypatch)
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_VOSK_MODEL", "")
    result = doctor("--language", "fr")
    assert result.exit_code == 1
    assert "missing ear" in result.output


def test_the_clock_may_not_be_behind_the_record(tmp_path: Path) -> None:
    where = str(tmp_path / "records.db")
    now = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
    assert checks.clock(now, where).present
    assert not checks.clock(datetime(2025, 12, 31, tzinfo=UTC), where).present
    journal = open_store(where).journal
    at = (now + timedelta(hours=1)).isoformat()
    journal.append("s1", [Draft("event", at, {"kind": "opened", "job": "KB2-7"})], 0)
    journal.close()
    behind = checks.clock(now, where)
    assert not behind.present
    assert "recorded at 2026-05-04 13:00" in behind.remedy
    assert checks.clock(now + timedelta(hours=2), where).present


def test_a_full_disk_is_told_of(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _: Usage(10**9, 10**9, 10**7))
    assert "0.0 GB free" in checks.room(str(tmp_path / "records.db")).remedy


def test_a_record_that_cannot_be_opened_is_told_of(tmp_path: Path) -> None:
    (tmp_path / "records.db").write_text("no database")
    result = doctor("--store", str(tmp_path / "records.db"))
    assert result.exit_code == 1
    assert "missing record" in result.output


def test_a_missing_voice_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    monkeypatch.setitem(sys.modules, "espeakng_loader", None)
    monkeypatch.setattr("assistant.voice.espeak.espeak_library", EspeakLibrary)
    assert "apt-get install espeak-ng" in checks.voice("en-US").remedy


@pytest.mark.audio
@pytest.mark.parametrize("sounding", [False, True])
def test_a_microphone_that_gives_silence_only_is_told_of(sounding: bool, tmp_path: Path) -> None:
    """The virtual microphone hears the virtual loudspeaker, so it is silent while nothing plays."""
    tone = (8000 * np.sin(np.arange(20 * 48000) * 2 * np.pi * 300 / 48000)).astype(np.int16)
    soundfile.write(tmp_path / "tone.wav", tone, 48000)
    with virtual_sound(tmp_path) as env:
        player = subprocess.Popen(["paplay", str(tmp_path / "tone.wav")], env=env)
        if not sounding:
            player.kill()
            player.wait()
        done = subprocess.run(
            [sys.executable, "-m", "assistant", "doctor"], env=env, capture_output=True, text=True,
            check=False, timeout=300,
        )  # fmt: skip
        player.kill()
        player.wait()
    (line,) = [x for x in done.stdout.splitlines() if x.split()[1].startswith("microphone")]
    if sounding:
        assert "dBFS just now" in line
    else:
        assert "gives silence only" in line
    assert "found   loudspeaker" in done.stdout
