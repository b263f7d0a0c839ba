"""What is played comes out of a real sound server whole, and can be cut short."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.audio.heard_back import Capture
from tests.audio.virtual_sound import virtual_sound

pytestmark = pytest.mark.audio

# In a process of its own: PortAudio looks for devices once in a process.
PLAY = """
import json, sys
from concurrent.futures import Future
from threading import Timer
import numpy as np
from assistant.audio.devices import portaudio
from assistant.audio.loudspeaker import Loudspeaker
from assistant.speech.errors import SpeechError
from assistant.voice.spoken_cache import Spoken
rate, seconds, mode = int(sys.argv[1]), float(sys.argv[2]), sys.argv[3]
t = np.arange(int(rate * seconds)) / rate
tone = np.round(12000 * np.sin(2 * np.pi * 500 * t + 0.1)).astype(np.int16)
speaker, written = Loudspeaker(), []
write = portaudio().OutputStream.write
def counted(stream, samples):
    written.append(len(samples) if np.any(samples) else 0)
    if mode == "cut" and sum(written) > rate // 4:
        speaker.stop()
    return write(stream, samples)
portaudio().OutputStream.write = counted
if mode in ("late", "cut late", "failed"):
    made = Future()
    finish = {
        "late": lambda: made.set_result(Spoken(tone, rate)),
        "cut late": speaker.stop,
        "failed": lambda: made.set_exception(SpeechError("No sound was made.")),
    }[mode]
    Timer(0.4, finish).start()  # as long as a neural voice takes
    try:
        whole = speaker.play_when(made)
    except SpeechError as fault:
        whole = str(fault)
else:
    whole = speaker.play(tone, rate)
print(json.dumps({"whole": whole, "written": sum(written)}))
"""


def played(folder: Path, rate: int, seconds: float, mode: str = "") -> tuple[dict[str, Any], float]:
    """What the program tells, and for how many seconds it was loud."""
    with virtual_sound(folder) as env:
        heard = Capture(env, "bench.monitor")
        assert heard.grows(0.1)  # it has truly begun
        done = subprocess.run(
            [sys.executable, "-c", PLAY, str(rate), str(seconds), mode],
            env=env, capture_output=True, text=True, check=True, timeout=300,
        )  # fmt: skip
        assert heard.grows(1.0)  # while all is quiet
        heard.close()
    frames = heard.samples[: len(heard.samples) // 160 * 160].astype(np.int32).reshape(-1, 160)
    loud = (np.abs(frames).max(axis=1) > 3000).sum()
    return json.loads(done.stdout), float(loud) / 100


@pytest.mark.parametrize("rate", [16000, 22050])
def test_all_of_a_line_sounds_before_play_returns(tmp_path: Path, rate: int) -> None:
    answer, loud_s = played(tmp_path, rate, 1.5)
    assert answer["whole"] is True
    assert answer["written"] == 1.5 * rate
    assert loud_s == pytest.approx(1.5, abs=0.06)


def test_cut_short_it_falls_silent(tmp_path: Path) -> None:
    answer, loud_s = played(tmp_path, 16000, 4.0, "cut")
    assert answer["whole"] is False
    assert loud_s < 1.0


@pytest.mark.parametrize("rate", [16000, 22050])
def test_a_line_that_is_still_being_made_loses_nothing(tmp_path: Path, rate: int) -> None:
    """16000 is not the rate that the device was woken with: it is opened again for it."""
    answer, loud_s = played(tmp_path, rate, 0.5, "late")
    assert answer["whole"] is True
    assert loud_s == pytest.approx(0.5, abs=0.015)


@pytest.mark.parametrize(
    ("mode", "answer"), [("cut late", False), ("failed", "No sound was made.")]
)
def test_a_line_that_never_comes_is_waited_for_no_longer(
    tmp_path: Path, mode: str, answer: object
) -> None:
    told, loud_s = played(tmp_path, 22050, 0.5, mode)
    assert told["whole"] == answer
    assert loud_s == 0.0
