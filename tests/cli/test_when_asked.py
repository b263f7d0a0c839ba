"""Every command is found where the table says, and starting to work loads nothing of the others."""

from __future__ import annotations

import subprocess
import sys
from importlib import import_module

import typer.main

from assistant.cli.main import app
from assistant.cli.when_asked import PLACES


def test_the_table_holds_every_command_of_its_modules() -> None:
    listed = typer.main.get_command(app).commands  # type: ignore[attr-defined]
    for place in set(PLACES.values()):
        found = set(typer.main.get_group(import_module(place).app).commands)
        named = {name for name, where in PLACES.items() if where == place}
        assert named == found or named == {"models"}, place
    for name in PLACES:
        command = listed[name]
        assert command.help, name
        assert command.name in (name, None), name


def test_building_does_not_wait_for_reports_and_other_recognisers() -> None:
    asked = (
        "import sys; from typer.testing import CliRunner; from assistant.cli.main import app; "
        "print(CliRunner().invoke(app, ['run', '--help']).exit_code, *sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", asked], capture_output=True, text=True, check=True
    ).stdout.split()
    assert done[0] == "0"
    assert not {"jinja2", "vosk", "alembic", "faster_whisper"} & set(done)
    assert "assistant.cli.work_commands" in done
