"""The list of procedures is remembered, and never says what a file no longer holds."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.procedure import remembered
from assistant.procedure.remembered import RememberedList

DEMO = Path(__file__).parents[2] / "procedures" / "kb2_gauge_practice.yaml"


@pytest.fixture
def read(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> list[str]:
    """The names of the files that were read in full."""
    names: list[str] = []
    load = remembered._loaded

    def counted(path: Path) -> tuple[str, str] | None:
        names.append(path.name)
        return load(path)

    monkeypatch.setattr(remembered, "user_cache", lambda name: tmp_path / "cache" / name)
    monkeypatch.setattr(remembered, "_loaded", counted)
    return names


def heading(path: Path) -> tuple[str, str] | None:
    with RememberedList() as known:
        return known.heading(path)


def test_a_file_is_read_once_and_again_when_it_changes(read: list[str], tmp_path: Path) -> None:
    own = tmp_path / "own.yaml"
    text = DEMO.read_text(encoding="utf-8")
    own.write_text(text, encoding="utf-8")
    first = heading(own)
    assert first is not None
    assert heading(own) == first
    assert read == ["own.yaml"]
    own.write_text(text.replace(first[1], "Another title"), encoding="utf-8")
    assert heading(own) == (first[0], "Another title")
    own.write_text("id: [", encoding="utf-8")
    assert heading(own) is None
    assert heading(own) is None
    assert read == ["own.yaml"] * 3


def test_other_code_reads_again(read: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    heading(DEMO)
    monkeypatch.setattr(remembered, "code_sha256", lambda rooms: "other")
    heading(DEMO)
    assert len(read) == 2


@pytest.mark.parametrize("kept", [b"", b"{", b"[]", b'{"code": 1}', b"[" * 5000, b"\xff"])
def test_a_damaged_list_is_made_again(read: list[str], tmp_path: Path, kept: bytes) -> None:
    first = heading(DEMO)
    (tmp_path / "cache" / "procedures.json").write_bytes(kept)
    assert heading(DEMO) == first
    assert len(read) == 2
    assert heading(DEMO) == first
    assert len(read) == 2


def test_what_cannot_be_saved_is_listed_all_the_same(read: list[str], tmp_path: Path) -> None:
    (tmp_path / "cache").write_text("no folder", encoding="utf-8")
    assert heading(DEMO) is not None
    assert heading(tmp_path / "missing.yaml") is None
