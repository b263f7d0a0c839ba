"""The first try: whoever follows the hints comes to the end, and sees a record."""

import re
from pathlib import Path

import pytest
import typer

from assistant.cli import first_try
from assistant.journal.location import default_location
from assistant.journal.store import SqlJournal
from assistant.language.hypothesis import typed
from assistant.session.edges import EndOfInput, Sound

_HINT = re.compile(r'You could type: "(.*)"')


class Follower:
    """Answers with the hint that was shown last, or ``instead`` once; gives up without a hint."""

    def __init__(self, capsys, instead=None):
        self._capsys = capsys
        self._instead = dict(instead or {})
        self.shown = ""

    def hear(self, expected, patience_s):
        new = self._capsys.readouterr().out
        self.shown += new
        hints = _HINT.findall(new)
        if not hints:
            raise EndOfInput
        return Sound(typed(self._instead.pop(hints[-1], hints[-1])))


def tried(capsys, monkeypatch, tmp_path, instead=None):
    follower = Follower(capsys, instead)
    monkeypatch.setattr(first_try, "open_input", lambda *_: follower)
    store = None if tmp_path is None else str(tmp_path / "s.sqlite")
    first_try.first_try(microphone=False, voice="silent", store=store)
    return follower.shown + capsys.readouterr().out


def test_whoever_follows_the_hints_sees_a_record_and_what_to_do_next(capsys, monkeypatch, tmp_path):
    seen = tried(capsys, monkeypatch, tmp_path)
    assert "ACCEPTED" in seen
    assert "22 N*m" in seen.replace("N\u00b7m", "N*m")
    assert "assembly-assistant doctor" in seen
    assert "warning" not in seen


def test_a_hint_follows_what_is_out_of_limits_too(capsys, monkeypatch, tmp_path):
    wrong = {"reading two point five thou": "reading nine thou"}
    seen = tried(capsys, monkeypatch, tmp_path, wrong)
    assert "Nine thou. Out of limits." in seen
    assert "end float 2.5 thou" in seen
    assert "assembly-assistant doctor" in seen


def test_a_reading_of_ones_own_that_is_in_limits_is_kept(capsys, monkeypatch, tmp_path):
    own = {"reading two point five thou": "reading three thou"}
    seen = tried(capsys, monkeypatch, tmp_path, own)
    assert "end float 3 thou" in seen
    assert '"take it again"' not in seen


def test_whoever_stops_is_told_how_to_go_on(capsys, monkeypatch, tmp_path):
    class Leaver:
        def hear(self, expected, patience_s):
            raise EndOfInput

    monkeypatch.setattr(first_try, "open_input", lambda *_: Leaver())
    try:
        first_try.first_try(microphone=False, voice="silent", store=str(tmp_path / "s.sqlite"))
    except typer.Exit as end:  # pragma: no cover
        pytest.fail(f"ended with {end.exit_code}")
    assert re.search(
        r'assembly-assistant resume \S+ --store ".*s\.sqlite"', capsys.readouterr().out
    )


def test_a_first_try_is_not_among_the_records_of_real_work(capsys, monkeypatch, tmp_path):
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path))
    seen = tried(capsys, monkeypatch, None)
    (session, place) = re.search(r'record (\S+) --store "(.*)"', seen).groups()
    assert [row.session for row in SqlJournal(place).sessions()] == [session]
    assert not default_location().exists()
    assert "invented" in (Path(place).parent / "README.txt").read_text(encoding="utf-8")
