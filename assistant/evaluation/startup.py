"""How long it takes from entering the command until the assistant listens."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

import numpy as np
import soundfile

from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE

_PROCEDURE = "kb2_gauge_practice"
_LISTENS = "Session "  # the line that the command writes when it starts listening


def seconds_to_listen(engine: str = "auto") -> float:
    """Seconds from starting ``run`` in a process of its own until it listens.

    ``engine``: as the command's option. The sound is a file of quiet and the voice is silent, so
    sound card and speech are left out; the interpreter, the library imports, the store, the
    procedure and the recogniser are in. Modules are kept compiled, as in an installed program.

    Raises:
        SpeechError: the command ended without listening.
    """
    with TemporaryDirectory() as folder:
        quiet = Path(folder) / "quiet.wav"
        floor = np.random.default_rng(1).normal(0, 3, SAMPLE_RATE)
        soundfile.write(quiet, floor.astype(np.int16), SAMPLE_RATE)
        command = [
            sys.executable, "-m", "assistant", "run", _PROCEDURE, "--builder", "Ada Testwell",
            "--inspector", "Bo Prover", "--audio", str(quiet), "--engine", engine,
            "--voice", "silent", "--store", str(Path(folder) / "store.db"),
        ]  # fmt: skip
        started = perf_counter()
        with subprocess.Popen(
            command,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            stdin=subprocess.DEVNULL,
            text=True,
            env={**os.environ, "PYTHONUNBUFFERED": "1", "PYTHONDONTWRITEBYTECODE": ""},
        ) as process:
            assert process.stdout is not None
            said = []
            for line in process.stdout:
                said.append(line)
                if line.startswith(_LISTENS):
                    waited = perf_counter() - started
                    process.kill()
                    return waited
    raise SpeechError(f"The command ended before it listened: {' '.join(said).strip()}")


def startup_times(tries: int) -> list[float]:
    """The wait, tried so many times after a first try that does not count: it compiles modules."""
    seconds_to_listen()
    return [seconds_to_listen() for _ in range(tries)]
