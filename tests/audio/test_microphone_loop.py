"""The whole way of sound: loudspeaker, virtual microphone, capture, endpoint, recognition."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import soundfile

from assistant.audio.synthesis import say
from assistant.speech.types import SAMPLE_RATE
from tests.audio.virtual_sound import virtual_sound

pytestmark = [pytest.mark.audio, pytest.mark.real_time]

TRIES = 10  # sound that was lost on a busy machine says nothing about hearing
SCRIPT = Path(__file__).with_name("listen_to_loop.py")


def run(folder: Path, *arguments: str) -> dict[str, Any]:
    phrase = folder / "phrase.wav"
    # Silence first, so that the builder does not speak into the assistant's last word.
    silence = np.zeros(int(1.5 * SAMPLE_RATE), np.int16)
    soundfile.write(phrase, np.concatenate((silence, say("step done", "slt"))), SAMPLE_RATE)
    with virtual_sound(folder) as env:
        for _ in range(TRIES):
            done = subprocess.run(
                [sys.executable, str(SCRIPT), *arguments, str(phrase)],
                env=env,
                capture_output=True,
                text=True,
                timeout=300,
                check=False,
            )
            assert done.returncode == 0, done.stderr
            answer: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
            if answer["overruns"] == 0:
                return answer
    raise AssertionError(f"Sound was lost {TRIES} times; the machine is too busy to say anything.")


def test_a_phrase_played_into_the_microphone_is_heard(tmp_path: Path) -> None:
    heard = run(tmp_path, "phrase")
    assert heard["texts"] == ["step done"]
    assert heard["peak"] > 1000


def test_without_the_gate_the_assistant_would_hear_itself(tmp_path: Path) -> None:
    assert run(tmp_path, "voice", "open")["texts"] == ["go on", "step done"]


def test_behind_the_gate_it_hears_the_builder_only(tmp_path: Path) -> None:
    assert run(tmp_path, "voice", "gated")["texts"] == ["step done"]
