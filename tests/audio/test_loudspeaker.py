"""What is played comes out of a real sound server whole, and can be cut short."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

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
from assistant.speech.spoken_cache import Spoken
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


def played(folder: Path, rate: int, seconds: float, mode: str = "") -> dict[str, object]:
    with virtual_sound(folder) as env:
        heard = folder / "heard.raw"
        recorder = subprocess.Popen(
            ["parec", "--device=bench.monitor", "--format=s16le", "--rate=16000", "--channels=1",
             "--latency-msec=50", "--raw", str(heard)], env=env,
        )  # fmt: skip
        _grow(heard, env, 3200)  # it has truly begun
        done = subprocess.run(
            [sys.executable, "-c", PLAY, str(rate), str(seconds), mode],
            env=env, capture_output=True, text=True, check=True, timeout=300,
        )  # fmt: skip
        _grow(heard, env, 2 * 16000)  # a second more, while all is quiet
        recorder.terminate()
        recorder.wait(timeout=10)
    answer: dict[str, object] = json.loads(done.stdout)
    return answer


def _grow(path: Path, env: dict[str, str], more: int) -> None:
    """Wait until ``path`` has ``more`` bytes more; each question to the server waits on its own."""
    wanted = (path.stat().st_size if path.exists() else 0) + more
    for _ in range(2000):
        if path.exists() and path.stat().st_size >= wanted:
            return
        subprocess.run(["pactl", "info"], env=env, capture_output=True, check=True)
    raise TimeoutError(f"{path} does not grow.")


def loud_seconds(folder: Path) -> float:

    heard = np.fromfile(folder / "heard.raw", np.int16).astype(np.int32)
    frames = heard[: len(heard) // 160 * 160].reshape(-1, 160)
    return float((np.abs(frames).max(axis=1) > 3000).sum()) / 100


@pytest.mark.parametrize("rate", [16000, 22050])
def test_all_of_a_line_sounds_before_play_returns(tmp_path: Path, rate: int) -> None:
    answer = played(tmp_path, rate, 1.5)
    assert answer["whole"] is True
    assert answer["written"] == 1.5 * rate
    assert loud_seconds(tmp_path) == pytest.approx(1.5, abs=0.06)


def test_cut_short_it_falls_silent(tmp_path: Path) -> None:
    answer = played(tmp_path, 16000, 4.0, "cut")
    assert answer["whole"] is False
    assert loud_seconds(tmp_path) < 1.0


@pytest.mark.parametrize("rate", [16000, 22050])
def test_a_line_that_is_still_being_made_loses_nothing(tmp_path: Path, rate: int) -> None:
    """16000 is not the rate that the device was woken with: it is opened again for it."""
    assert played(tmp_path, rate, 0.5, "late")["whole"] is True
    assert loud_seconds(tmp_path) == pytest.approx(0.5, abs=0.015)


@pytest.mark.parametrize(
    ("mode", "answer"), [("cut late", False), ("failed", "No sound was made.")]
)
def test_a_line_that_never_comes_is_waited_for_no_longer(
    tmp_path: Path, mode: str, answer: object
) -> None:
    assert played(tmp_path, 22050, 0.5, mode)["whole"] == answer
    assert loud_seconds(tmp_path) == 0.0
