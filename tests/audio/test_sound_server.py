"""Which microphone the sound server gives, asked of a real one."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.audio.sound_server import microphone_in_use
from tests.audio.virtual_sound import virtual_sound

pytestmark = pytest.mark.audio

# In a process of its own: PortAudio looks for devices once in a process.
ASK = """
from assistant.audio.microphone import Microphone
from assistant.audio.sound_server import microphone_in_use
print(microphone_in_use())
with Microphone() as microphone:
    next(microphone.blocks())
    print(microphone_in_use())
"""


def test_it_is_named_while_sound_is_captured(tmp_path: Path) -> None:
    with virtual_sound(tmp_path) as env:
        done = subprocess.run(
            [sys.executable, "-c", ASK], env=env, capture_output=True, text=True, timeout=300,
            check=True,
        )  # fmt: skip
        assert done.stdout.splitlines() == ["None", "Monitor of Null Output"]


def test_without_a_server_nothing_is_known(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PULSE_SERVER", f"unix:{tmp_path / 'nowhere'}")
    assert microphone_in_use() is None
    monkeypatch.setenv("PATH", os.fspath(tmp_path))
    assert microphone_in_use() is None
