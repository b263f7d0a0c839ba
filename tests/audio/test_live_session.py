"""A session at the virtual bench: the console command listens to a microphone in real time."""

from __future__ import annotations

import queue
import subprocess
import sys
from pathlib import Path
from threading import Thread

import numpy as np
import pytest
import soundfile

from assistant.audio.synthesis import say
from assistant.cli.workplace import latest_session, open_store
from assistant.speech.types import SAMPLE_RATE
from tests.audio.virtual_sound import virtual_sound

pytestmark = [pytest.mark.audio, pytest.mark.slow]

# What the builder says, and a part of the answer that shows that it was heard rightly.
TALK = (
    ("charlie", "Manual revision charlie"),
    ("that is right", "Which variant"),
    ("standard", "I heard standard"),
    ("that is right", "Which parts"),
    ("reused parts", "I heard reused parts"),
    ("that is right", "Caution. Close the penstock"),
    ("caution understood", "Spell it"),
    ("kilo bravo two one seven", "I heard kilo bravo two one seven"),
    ("that is right", "Kind of seal"),
    ("stop work", "Stop work here?"),
    ("that is right", "Work is stopped and saved"),
)
SPEAKERS = ("rms", "slt", "awb", "slt_hts")
PATIENCE_S = 8.0


class Assistant:
    """The running command, its output line by line."""

    def __init__(self, folder: Path, env: dict[str, str]) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-u", "-m", "assistant", "run", "kb2_input_shaft",
             "--builder", "Otto Brandwick", "--inspector", "Marta Quill", "--voice", "silent",
             "--engine", "pocketsphinx", "--second", "none",
             "--store", str(folder / "records.db")],
            env=env,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )  # fmt: skip
        self.lines: queue.Queue[str] = queue.Queue()
        self.seen: list[str] = []
        Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.lines.put(line)

    def says(self, words: str, patience_s: float = PATIENCE_S) -> bool:
        """Whether a line with ``words`` comes before the builder loses patience."""
        while True:
            try:
                line = self.lines.get(timeout=patience_s)
            except queue.Empty:
                return False
            self.seen.append(line)
            if words in line:
                return True


def test_a_session_spoken_into_a_microphone(tmp_path: Path) -> None:
    with virtual_sound(tmp_path) as env:
        assistant = Assistant(tmp_path, env)
        try:
            assert assistant.says("Spell its revision", 60.0), assistant.seen
            for number, (line, answer) in enumerate(TALK):
                assert _spoken(assistant, env, tmp_path, number, line, answer), assistant.seen
            assert assistant.process.wait(timeout=30) == 0
        finally:
            assistant.process.kill()
    kept = open_store(str(tmp_path / "records.db"))
    session = latest_session(kept)
    assert kept.journal.verify(session) is None
    facts = [e.body for e in kept.journal.read(session) if e.kind == "fact"]
    assert [f["text"] for f in facts if f["kind"] == "identified"] == ["KB217"]
    assert [f["kind"] for f in facts][-1] == "work_stopped"


def _spoken(
    assistant: Assistant, env: dict[str, str], folder: Path, number: int, line: str, answer: str
) -> bool:
    """Say ``line``, as often as speakers are there, until it is answered as it should be."""
    for attempt in range(len(SPEAKERS)):
        speaker = SPEAKERS[(number + attempt) % len(SPEAKERS)]
        path = folder / "line.wav"
        quiet = np.zeros(SAMPLE_RATE // 2, np.int16)  # the loudspeaker wakes up
        soundfile.write(path, np.concatenate((quiet, say(line, speaker), quiet)), SAMPLE_RATE)
        subprocess.run(["paplay", str(path)], env=env, check=True, timeout=30)
        if assistant.says(answer):
            return True
    return False
