"""The first try: whoever follows the hints comes to the end, and sees a record."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
import typer

from assistant.cli import first_try
from assistant.journal.location import default_location
from assistant.journal.store import SqlJournal
from assistant.language.hypothesis import typed
from assistant.session.edges import EndOfInput, Sound

Captured = pytest.CaptureFixture[str]
Patch = pytest.MonkeyPatch
_HINT = re.compile(r'You could type: "(.*)"')


class Follower:
    """Answers with the hint that was shown last, or ``instead`` once; gives up without a hint."""

    def __init__(self, capsys: Captured, instead: Mapping[str, str] | None = None) -> None:
        self._capsys = capsys
        self._instead = dict(instead or {})
        self.shown = ""

    def hear(self, expected: object, patience_s: float | None) -> Sound:
        new = self._capsys.readouterr().out
        self.shown += new
        hints = _HINT.findall(new)
        if not hints:
            raise EndOfInput
        return Sound(typed(self._instead.pop(hints[-1], hints[-1])))


def tried(
    capsys: Captured,
    monkeypatch: Patch,
    tmp_path: Path | None,
    instead: Mapping[str, str] | None = None,
) -> str:
    follower = Follower(capsys, instead)
    monkeypatch.setattr(first_try, "open_input", lambda *_: follower)
    store = None if tmp_path is None else str(tmp_path / "s.sqlite")
    first_try.first_try(microphone=False, voice="silent", store=store)
    return follower.shown + capsys.readouterr().out


def test_whoever_follows_the_hints_sees_a_record_and_what_to_do_next(
    capsys: Captured, monkeypatch: Patch, tmp_path: Path
) -> None:
    seen = tried(capsys, monkeypatch, tmp_path)
    assert "ACCEPTED" in seen
    assert "22 N*m" in seen.replace("N\u00b7m", "N*m")
    assert "assembly-assistant doctor" in seen
    assert "warning" not in seen


def test_a_hint_follows_what_is_out_of_limits_too(
    capsys: Captured, monkeypatch: Patch, tmp_path: Path
) -> None:
    wrong = {"reading two point five thou": "reading nine thou"}
    seen = tried(capsys, monkeypatch, tmp_path, wrong)
    assert "Nine thou. Out of limits." in seen
    assert "end float 2.5 thou" in seen
    assert "assembly-assistant doctor" in seen


def test_a_reading_of_ones_own_that_is_in_limits_is_kept(
    capsys: Captured, monkeypatch: Patch, tmp_path: Path
) -> None:
    own = {"reading two point five thou": "reading three thou"}
    seen = tried(capsys, monkeypatch, tmp_path, own)
    assert "end float 3 thou" in seen
    assert '"take it again"' not in seen


def test_whoever_stops_is_told_how_to_go_on(
    capsys: Captured, monkeypatch: Patch, tmp_path: Path
) -> None:
    class Leaver:
        def hear(self, expected: object, patience_s: float | None) -> Sound:
            raise EndOfInput

    monkeypatch.setattr(first_try, "open_input", lambda *_: Leaver())
    try:
        first_try.first_try(microphone=False, voice="silent", store=str(tmp_path / "s.sqlite"))
    except typer.Exit as end:  # pragma: no cover
        pytest.fail(f"ended with {end.exit_code}")
    assert re.search(
        r'assembly-assistant resume \S+ --store ".*s\.sqlite"', capsys.readouterr().out
    )


def test_a_first_try_is_not_among_the_records_of_real_work(
    capsys: Captured, monkeypatch: Patch, tmp_path: Path
) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path))
    seen = tried(capsys, monkeypatch, None)
    ((session, place),) = re.findall(r'record (\S+) --store "(.*)"', seen)
    assert [row.session for row in SqlJournal(place).sessions()] == [session]
    assert not default_location().exists()
    assert "invented" in (Path(place).parent / "README.txt").read_text(encoding="utf-8")
