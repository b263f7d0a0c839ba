"""The console command at the virtual bench, and a builder who speaks to it until it answers."""

from __future__ import annotations

import queue
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from threading import Thread

import numpy as np
import soundfile

from assistant.audio.synthesis import say
from assistant.cli.workplace import latest_session, open_store
from assistant.journal.types import Entry
from assistant.speech.types import SAMPLE_RATE, Samples

SPEAKERS = ("rms", "slt", "awb", "slt_hts")
PATIENCE_S = 20.0  # a busy machine may answer late, and a line said twice may count twice
LONG_S = 300.0  # for what comes for certain, however busy the machine is


class Assistant:
    """The running command, its output line by line."""

    def __init__(
        self, folder: Path, env: dict[str, str], procedure: str = "kb2_input_shaft",
        voice: str = "silent", *options: str, program: str = "assistant",
    ) -> None:  # fmt: skip
        self.folder, self.env = folder, env
        self.process = subprocess.Popen(
            [sys.executable, "-u", "-m", program, "run", procedure,
             "--builder", "Otto Brandwick", "--inspector", "Marta Quill", "--voice", voice,
             "--store", str(folder / "records.db"), *options],
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


def play(path: Path, env: dict[str, str], sink: str = "bench") -> None:
    """Play a sound file into the microphone; returns when it has sounded."""
    subprocess.run(["paplay", "-d", sink, str(path)], env=env, check=True, timeout=LONG_S)


@cache
def speech(line: str, speaker: str) -> Samples:
    """``line`` with half a second of quiet before and after, in which the loudspeaker wakes up."""
    quiet = np.zeros(SAMPLE_RATE // 2, np.int16)
    return np.concatenate((quiet, say(line, speaker), quiet))


def spoken(
    assistant: Assistant,
    number: int,
    talk: tuple[str, str],
    until_quiet: Callable[[], object] = lambda: None,
    sink: str = "bench",
) -> bool:
    """Say a line, as often as speakers are there, until it is answered as it should be.

    ``talk``: the line and its answer.

    With ``until_quiet`` only once the assistant has spoken, for it does not listen meanwhile.
    """
    line, answer = talk
    for attempt in range(len(SPEAKERS)):
        speaker = SPEAKERS[(number + attempt) % len(SPEAKERS)]
        path = assistant.folder / "line.wav"
        soundfile.write(path, speech(line, speaker), SAMPLE_RATE)
        until_quiet()
        play(path, assistant.env, sink)
        if assistant.says(answer):
            return True
    return False


def entries_of(folder: Path) -> list[Entry]:
    """All of the record of ``short_job.yaml``, which must be whole and what was spoken."""
    kept = open_store(str(folder / "records.db"))
    session = latest_session(kept)
    assert kept.journal.verify(session) is None
    entries = list(kept.journal.read(session))
    facts = [e.body for e in entries if e.kind == "fact"]
    readings = [f["indication"]["amount"] for f in facts if f["kind"] == "reading_confirmed"]
    assert [(r["value"], r["unit"]) for r in readings] == [("6/5", "thou")]
    tightened = [(f["fastener"], f["torque"]["value"]) for f in facts
                 if f["kind"] == "fastener_tightened"]  # fmt: skip
    assert tightened == [("bolt one", "14"), ("bolt two", "14")]
    assert facts[-1]["kind"] == "work_finished"
    return entries
