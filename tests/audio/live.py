"""The console command at the virtual bench, and a builder who speaks to it until it answers."""

from __future__ import annotations

import queue
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from functools import cache
from pathlib import Path
from threading import Thread
from time import monotonic

import numpy as np
import soundfile

from assistant.audio.synthesis import say
from assistant.cli.workplace import latest_session, open_store
from assistant.journal.types import Entry
from assistant.speech.types import SAMPLE_RATE, Samples
from tests.audio.counted import MARK
from tests.forked import Forked

SPEAKERS = ("rms", "slt", "awb", "slt_hts")
PATIENCE_S = 10.0  # of sound that was listened to after a line; then it was not heard
LONG_S = 300.0  # for what comes for certain, however busy the machine is


class Assistant:
    """The running command, its output line by line."""

    def __init__(
        self, folder: Path, env: dict[str, str], procedure: str = "kb2_input_shaft",
        voice: str = "silent", *options: str, program: str = "tests.audio.counted",
    ) -> None:  # fmt: skip
        self.folder, self.env = folder, env
        self._process = Forked(
            "run", procedure,
            "--builder", "Otto Brandwick", "--inspector", "Marta Quill", "--voice", voice,
            "--store", str(folder / "records.db"), *options,
            env=env, program=program,
        )  # fmt: skip
        self._lines: queue.Queue[str] = queue.Queue()
        self.seen: list[str] = []
        Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        with suppress(OSError, ValueError):  # closed while it is read
            for line in self._process.stdout:
                self._lines.put(line)
        self._lines.put("")

    def says(self, words: str) -> bool:
        """Whether a line with ``words`` comes."""
        return any(words in line for line in self._coming())

    def answers(self, words: str) -> bool:
        """Whether a line with ``words`` comes before ``PATIENCE_S`` more of sound than is there
        now was listened to.
        """
        enough = 0.0
        for line in self._coming():
            if words in line:
                return True
            taken, there = _listened(line)
            if not enough and there and self._lines.empty():
                enough = there + PATIENCE_S * SAMPLE_RATE
            if enough and taken >= enough:
                return False
        return False

    def listens(self) -> bool:
        """Wait until it has said all it had to say, and listens."""
        lines = self._coming()
        while not self._lines.empty():
            next(lines, "")
        return any(_listened(line)[0] for line in lines)

    def ended(self) -> bool:
        """Whether it ends, and well."""
        return self._process.ends(LONG_S) == 0

    def kill(self) -> None:
        """End it, however it is."""
        self._process.kill()

    def _coming(self) -> Iterator[str]:
        """Lines as they come, to the end of the output or of ``LONG_S``."""
        until = monotonic() + LONG_S
        with suppress(queue.Empty):
            while line := self._lines.get(timeout=max(0.0, until - monotonic())):
                if not _listened(line)[0]:
                    self.seen.append(line)
                yield line


def _listened(line: str) -> tuple[int, int]:
    """Samples that were listened to, and that were there by then; zeros without the mark."""
    if not line.startswith(MARK):
        return 0, 0
    taken, there = line.removeprefix(MARK).split()
    return int(taken), int(there)


def play(path: Path, env: dict[str, str], sink: str = "bench") -> None:
    """Play a sound file into the microphone; returns when it has sounded."""
    subprocess.run(["paplay", "-d", sink, str(path)], env=env, check=True, timeout=LONG_S)


@cache
def speech(line: str, speaker: str) -> Samples:
    """``line`` with a fifth of a second of quiet before it, in which the loudspeaker wakes up."""
    return np.concatenate((np.zeros(SAMPLE_RATE // 5, np.int16), say(line, speaker)))


def spoken(
    assistant: Assistant,
    number: int,
    talk: tuple[str, str],
    sink: str = "bench",
    cuts_in: bool = False,
) -> bool:
    """Say a line, as often as speakers are there, until it is answered as it should be.

    ``talk``: the line and its answer. It is said once the assistant listens; with ``cuts_in`` the
    first time at once, whatever the assistant still has to say.
    """
    line, answer = talk
    for attempt in range(len(SPEAKERS)):
        speaker = SPEAKERS[(number + attempt) % len(SPEAKERS)]
        path = assistant.folder / "line.wav"
        soundfile.write(path, speech(line, speaker), SAMPLE_RATE)
        waits = attempt > 0 or not cuts_in
        if waits and not assistant.listens():
            return False
        play(path, assistant.env, sink)
        if assistant.answers(answer):
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
