"""The manual page is what the commands are now, and a page that man can set."""

from __future__ import annotations

import importlib.util
import re
import shutil
import subprocess
from pathlib import Path
from types import ModuleType

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from assistant.cli.main import app

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "assembly-assistant.1"


def _script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_manpage", ROOT / "scripts/make_manpage.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


MAKER = _script()


def test_the_page_is_not_stale() -> None:
    kept = PAGE.read_text(encoding="utf-8")
    assert kept == MAKER.manpage(), "run 'python -m scripts.make_manpage' and look at the change"


def help_of(*command: str) -> str:
    return CliRunner().invoke(app, [*command, "--help"], env={"COLUMNS": "200"}).output


def test_every_command_and_option_of_the_help_is_in_it() -> None:
    """The help that the command itself prints is the judge."""
    plain = PAGE.read_text(encoding="utf-8").replace("\\-", "-").replace("\\f", "")
    commands = re.findall(r"^[│ ]+([a-z][a-z-]+)  ", help_of(), re.MULTILINE)
    assert {"run", "resume", "record", "models"} <= set(commands)
    for command in commands:
        assert re.search(rf"^\.SS {command}\b", plain, re.MULTILINE), command
        if command == "hearing":
            continue  # the door to a program with a help of its own
        for option in set(re.findall(r"--[a-z][a-z-]+", help_of(command))) - {"--help"}:
            assert option in plain, (command, option)


def rendered(page: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ("groff", "-ww", "-man", "-Tascii"), input=page, capture_output=True, text=True, check=False
    )


@pytest.mark.skipif(shutil.which("groff") is None, reason="groff is not installed")
def test_groff_has_nothing_to_complain_of() -> None:
    done = rendered(PAGE.read_text(encoding="utf-8"))
    assert done.returncode == 0
    assert done.stderr == ""
    assert "Ctrl-C" in done.stdout


WORDS = st.text(st.sampled_from(".'\\-ab fRI\"&"), min_size=1, max_size=12)


@pytest.mark.skipif(shutil.which("groff") is None, reason="groff is not installed")
@given(st.lists(WORDS, min_size=20, max_size=20))
def test_text_is_set_as_it_is_written(words: list[str]) -> None:
    """Whatever a help text holds, groff sets it and obeys none of it."""
    body = "".join(f".TP\n.B x\n{MAKER._text(word)}\n" for word in words if word.strip())
    done = rendered(f'.TH X 1 "" "" ""\n.SH A\n{body}')
    assert done.stderr == ""
    squeezed = re.sub(r"\s|\x1b\[\d*m|.\x08", "", done.stdout)
    for word in words:
        assert "".join(word.split()) in squeezed
