"""What differs between systems; their types are checked by ``scripts/test.sh``."""

import os
import sys

import pytest

from assistant.evaluation.memory import peak_memory_mb
from assistant.journal.durable import flush_folder, make_folder, write_durably
from assistant.session import typed_input
from assistant.session.clock import WallClock
from assistant.session.edges import EndOfInput
from assistant.session.typed_input import TypedInput


def test_on_windows_names_in_a_folder_need_no_flush(tmp_path, monkeypatch):
    def no_folders(path, *_):
        raise PermissionError(13, "Permission denied", str(path))  # as Windows does

    monkeypatch.setattr(os, "open", no_folders)
    with pytest.raises(PermissionError):
        flush_folder(tmp_path)
    monkeypatch.setattr(sys, "platform", "win32")
    make_folder(tmp_path / "clips" / "a")
    assert (tmp_path / "clips" / "a").is_dir()


def test_a_clip_is_whole_on_windows_too(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "platform", "win32")
    write_durably(tmp_path / "clip", b"whole")
    assert (tmp_path / "clip").read_bytes() == b"whole"
    assert [f.name for f in tmp_path.iterdir()] == ["clip"]


@pytest.mark.parametrize("platform", ["linux", "darwin", "win32"])
def test_the_steady_clock_goes_on(platform, monkeypatch):
    monkeypatch.setattr(sys, "platform", platform)
    clock = WallClock()
    first = clock.elapsed_ms()
    assert 0 <= first <= clock.elapsed_ms()


def test_memory_is_told_where_the_system_tells_it(monkeypatch):
    here = peak_memory_mb()
    assert here is not None
    assert here > 10
    monkeypatch.setattr(sys, "platform", "win32")
    assert peak_memory_mb() is None


def test_lines_are_typed_on_windows_where_no_file_can_be_waited_for(monkeypatch):
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.setattr(typed_input, "selectors", None)  # not of use there
    typing, keys = os.pipe()
    with os.fdopen(typing, encoding="utf-8") as stream:
        source = TypedInput(stream)
        assert source.hear(None, 0.0) is None  # nothing was typed yet
        os.write(keys, b"reading two\nstep done\n")
        assert source.hear(None, 30.0).recognition.hypotheses[0].text == "reading two"
        assert source.hear(None, None).recognition.hypotheses[0].text == "step done"
        os.close(keys)
        for _ in range(2):
            with pytest.raises(EndOfInput):
                source.hear(None, 30.0)
