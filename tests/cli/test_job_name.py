"""Who gives no job is asked for it at a terminal, and nowhere else."""

from __future__ import annotations

from io import StringIO

import pytest

from assistant.cli.people import PeopleError, job_name


class Terminal(StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("typed", "called"), [("KB2-31\n", "KB2-31"), ("\n", "usual"), ("  \n", "usual"), ("", "usual")]
)
def test_it_is_typed_or_left_out(
    typed: str, called: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", Terminal(typed))
    assert job_name("", "usual") == called
    assert "serial number" in capsys.readouterr().out


def test_nobody_is_asked_who_gave_it_or_is_no_person(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr("sys.stdin", Terminal("wrong\n"))
    assert job_name("KB2-31", "usual") == "KB2-31"
    monkeypatch.setattr("sys.stdin", StringIO("wrong\n"))
    assert job_name("", "usual") == "usual"
    assert capsys.readouterr().out == ""


def test_what_cannot_be_shown_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.stdin", Terminal("KB2\x1b[2J\n"))
    with pytest.raises(PeopleError, match="is not a name"):
        job_name("", "usual")
