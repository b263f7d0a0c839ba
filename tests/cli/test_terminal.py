"""Control codes that others wrote never reach the terminal."""

from __future__ import annotations

import os
import re
import termios
from io import StringIO, TextIOWrapper
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from typer.testing import CliRunner

from assistant.cli.main import app
from assistant.cli.screen import TerminalScreen
from assistant.cli.terminal import folded, one_line, plain
from assistant.cli.workplace import open_store
from assistant.dialogue.effects import Say
from assistant.journal.types import Draft
from assistant.language.hypothesis import typed
from assistant.session.edges import Sound

# ECMA-48 (5th edition) 5.2 and 5.3: the sets C0 and C1, and DELETE; tab and line break stay.
CODES = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f]")
EVIL = "KB2\x1b[2J\x1b]0;title\x07\x9b31m\r\u202e"


@given(st.text())
def test_no_control_code_is_left_and_plain_text_stays(text: str) -> None:
    shown = plain(text)
    assert not CODES.search(shown)
    shown.encode()
    assert "\n" not in one_line(text)
    if not CODES.search(text) and text.isprintable():
        assert shown == text


def test_letters_of_every_script_stay() -> None:
    assert plain("Ø 30 µm, 덮개 볼트\t½ \u00a0–") == "Ø 30 µm, 덮개 볼트\t½ \u00a0–"
    assert plain("\x1b[2J\ud800") == "\\x1b[2J\\ud800"


def test_a_session_on_the_screen_and_the_list_of_records(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = StringIO()
    TerminalScreen(out).said(Say(EVIL))
    assert not CODES.search(out.getvalue())
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path))
    body = {"kind": "opened", "job": f"{EVIL}\nforged", "procedure_id": EVIL}
    at = "2026-01-05T08:00:00+00:00"
    open_store(None).journal.append("s1", [Draft("event", at, body)], 0)
    for command in (["records"], ["record"], ["verify"]):
        shown = CliRunner().invoke(app, command).output
        assert not CODES.search(shown), command
    assert len(CliRunner().invoke(app, ["records"]).output.splitlines()) == 1


@pytest.mark.parametrize("name", ["KB2\x1b[2J", "KB2\n7", "x" * 101])
def test_a_job_or_a_name_that_is_no_line_of_text_is_refused(name: str) -> None:
    run = ["run", "kb2_gauge_practice", "--keyboard", "--inspector", "Marta Quill"]
    for more in (["--builder", "Otto Brandwick", "--job", name], ["--builder", f"Otto B{name}"]):
        result = CliRunner().invoke(app, [*run, *more])
        assert result.exit_code == 2
        assert len(result.stderr.strip().splitlines()) == 1
        assert not CODES.search(result.output)


def test_everything_that_the_command_shows_goes_through_the_edge() -> None:
    folder = Path("assistant/cli")
    for path in folder.glob("*.py"):
        text = path.read_text(encoding="utf-8")
        if path.name != "terminal.py":
            assert "typer.echo" not in text, path
            assert not re.search(r"(?<![\w.])print\((?!plain\()", text), path


@given(st.text("ab c덮개"), st.integers(10, 80), st.integers(0, 9))
def test_a_line_is_folded_between_words_and_loses_none(text: str, width: int, indent: int) -> None:
    lines = folded(text, width, indent).split("\n")
    assert " ".join(lines).split() == text.split()
    for line in lines:  # a reference library for the columns of wide letters
        assert cell_len(line) <= width or " " not in line.strip()


def test_a_terminal_gets_folded_lines_and_what_was_typed_only_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    master, slave = os.openpty()
    termios.tcsetwinsize(slave, (24, 30))
    with os.fdopen(slave, "r+b", buffering=0) as raw, TextIOWrapper(raw, "utf-8") as terminal:
        monkeypatch.setattr("sys.stdin", terminal)
        screen = TerminalScreen(terminal)
        screen.heard(Sound(typed("go on")))
        screen.said(Say("Lock the valve, and keep the key in your pocket."))
        terminal.flush()
        shown = os.read(master, 1000).decode()
    os.close(master)
    assert shown.split("\r\n") == [
        "      Lock the valve, and keep",
        "      the key in your pocket.",
        "",
    ]
