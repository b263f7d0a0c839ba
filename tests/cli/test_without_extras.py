"""The main job needs none of the optional libraries; what does need one says which."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

BLOCKED = """
import sys
for name in ("scipy", "jiwer", "starlette", "uvicorn", "psycopg",
             "piper", "evdev"):
    sys.modules[name] = None
sys.argv = ["assembly-assistant", *sys.argv[1:]]
from assistant.cli.main import entry
entry()
"""


def call(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", BLOCKED, *arguments],
        env={**os.environ, "ASSEMBLY_ASSISTANT_DATA": str(folder)},
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_session_runs_without_them(tmp_path: Path) -> None:
    done = call(tmp_path, "demo", "--keyboard")
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize(
    ("arguments", "extra"),
    [
        (("hearing",), "bench"),
        (("run", "kb2_coupling_guard", "--builder", "Otto Brandwick", "--inspector", "Marta Quill",
          "--keyboard", "--voice", "silent", "--board", "here"), "board"),
    ],
)  # fmt: skip
def test_what_needs_one_names_the_extra(
    arguments: tuple[str, ...], extra: str, tmp_path: Path
) -> None:
    done = call(tmp_path, *arguments)
    assert done.returncode == 2
    assert f"extra '{extra}'" in done.stderr
    assert "Traceback" not in done.stderr
