"""What differs between systems; their types are checked by ``scripts/test.sh``."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from assistant.dialogue.expectation import Expectation
from assistant.evaluation.memory import peak_memory_mb
from assistant.journal.durable import flush_folder, make_folder, write_durably
from assistant.language.spec import ListenSpec
from assistant.session import typed_input
from assistant.session.clock import WallClock
from assistant.session.edges import EndOfInput
from assistant.session.typed_input import TypedInput

EXPECTED = Expectation(ListenSpec())


def test_on_windows_names_in_a_folder_need_no_flush(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_folders(path: object, *_: object) -> int:
        raise PermissionError(13, "Permission denied", str(path))  # as Windows does

    monkeypatch.setattr(os, "open", no_folders)
    with pytest.raises(PermissionError):
        flush_folder(tmp_path)
    monkeypatch.setattr(sys, "platform", "win32")
    make_folder(tmp_path / "clips" / "a")
    assert (tmp_path / "clips" / "a").is_dir()


def test_a_clip_is_whole_on_windows_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "win32")
    write_durably(tmp_path / "clip", b"whole")
    assert (tmp_path / "clip").read_bytes() == b"whole"
    assert [f.name for f in tmp_path.iterdir()] == ["clip"]


@pytest.mark.parametrize("platform", ["linux", "darwin", "win32"])
def test_the_steady_clock_goes_on(platform: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", platform)
    clock = WallClock()
    first = clock.elapsed_ms()
    assert 0 <= first <= clock.elapsed_ms()


def test_memory_is_told_where_the_system_tells_it(monkeypatch: pytest.MonkeyPatch) -> None:
    here = peak_memory_mb()
    assert here is not None
    assert here > 10
    monkeypatch.setattr(sys, "platform", "win32")
    assert peak_memory_mb() is None


def test_lines_are_typed_on_windows_where_no_file_can_be_waited_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setattr(typed_input, "selectors", None)  # not of use there
    typing, keys = os.pipe()
    with os.fdopen(typing, encoding="utf-8") as stream:
        source = TypedInput(stream)

        def typed(patience_s: float | None) -> str | None:
            sound = source.hear(EXPECTED, patience_s)
            return None if sound is None else sound.recognition.hypotheses[0].text

        assert typed(0.0) is None  # nothing was typed yet
        os.write(keys, b"reading two\nstep done\n")
        assert typed(30.0) == "reading two"
        assert typed(None) == "step done"
        os.close(keys)
        for _ in range(2):
            with pytest.raises(EndOfInput):
                typed(30.0)
