"""What is handed in as a file: devices and pipes never hang the command, and sizes are bounded."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from assistant.cli.main import app
from assistant.input_file import read_whole
from tests.systems import POSIX


def made_pipe(folder: Path) -> Path:
    pipe = folder / "pipe.yaml"
    os.mkfifo(pipe)
    return pipe


NO_FILES: list[Any] = [
    pytest.param(made_pipe, marks=POSIX),
    pytest.param(lambda folder: Path("/dev/zero"), marks=POSIX),
    lambda folder: folder,
]  # fmt: skip


def test_a_file_is_read_whole_up_to_its_bound(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"12345")
    assert read_whole(path, 5) == b"12345"
    with pytest.raises(OSError, match="larger"):
        read_whole(path, 4)


@pytest.mark.parametrize("make", NO_FILES)
def test_what_is_no_file_is_refused(make: Callable[[Path], Path], tmp_path: Path) -> None:
    with pytest.raises(OSError, match="not a file"):
        read_whole(make(tmp_path), 1000)


@pytest.mark.parametrize("make", NO_FILES)
@pytest.mark.parametrize(
    "command",
    [
        ("check", "{}"),
        ("print", "{}"),
        ("rehearse", "{}"),
        ("starter", "{}"),
        ("run", "{}", "--builder", "Otto Brandwick", "--keyboard"),
        ("run", "kb2_gauge_practice", "--builder", "Otto Brandwick", "--inspector", "Marta Quill",
         "--keyboard", "--bench", "{}"),
        ("run", "kb2_gauge_practice", "--builder", "Otto Brandwick", "--inspector", "Marta Quill",
         "--audio", "{}"),
        ("records", "--store", "{}"),
    ],
)  # fmt: skip
def test_a_command_says_so_in_one_sentence(
    make: Callable[[Path], Path],
    command: tuple[str, ...],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))
    given = str(make(tmp_path))
    result = CliRunner().invoke(app, [part.format(given) for part in command])
    assert result.exit_code == 2, result.output
    told = result.stderr.strip().splitlines()
    assert len(told) == 1, told
    assert given in told[0]
