"""Every command is found where the table says, and starting to work loads nothing of the others."""

from __future__ import annotations

import os
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest
import typer.main
from typer.testing import CliRunner

from assistant.cli.lazy_group import HELP, PLACES
from assistant.cli.main import app


def test_the_table_holds_every_command_of_its_modules() -> None:
    listed = typer.main.get_command(app).commands  # type: ignore[attr-defined]
    for place in set(PLACES.values()):
        found = set(typer.main.get_group(import_module(place).app).commands)
        named = {name for name, where in PLACES.items() if where == place}
        assert named == found or named == {"models"}, place
    for name in PLACES:
        command = listed[name]
        assert command.help, name
        assert HELP[name] == " ".join(command.help.split()), name
        assert command.name in (name, None), name


REPORTS = {"jinja2", "PIL"}
STORES = {"sqlalchemy", "alembic", "cryptography"}
SOUND = {"sounddevice", "soundfile", "soxr", "webrtcvad", "numpy"}
RECOGNISERS = {"vosk", "faster_whisper", "ctranslate2", "onnxruntime", "pocketsphinx", "piper"}
REFERENCES = {"pint", "scipy", "uncertainties", "hypothesis", "jiwer"}


@pytest.mark.parametrize(
    ("asked", "heavy"),
    [
        (["--help"], {"pydantic", "ruamel", *REPORTS, *STORES, *SOUND, *RECOGNISERS, *REFERENCES}),
        (["--version"], {"pydantic", "ruamel", *REPORTS, *STORES, *SOUND, *RECOGNISERS}),
        (["procedures"], {*REPORTS, *STORES, *SOUND, *RECOGNISERS, *REFERENCES}),
        (["check", "kb2_gauge_practice"], {*REPORTS, *STORES, *RECOGNISERS, *REFERENCES}),
        (["records"], {*REPORTS, *RECOGNISERS, *REFERENCES}),
        (
            ["run", "--help"],
            {
                *REPORTS,
                "vosk",
                "alembic",
                "cryptography",
                "cattrs",
                "ruamel",
                "http.client",
                "onnxruntime",
                *REFERENCES,
            },
        ),
    ],
)
def test_a_command_loads_nothing_that_it_has_no_use_for(
    asked: list[str], heavy: set[str], tmp_path: Path
) -> None:
    """Which modules are loaded, not how long it takes: that is the machine's affair."""
    program = (
        "import sys; from typer.testing import CliRunner; from assistant.cli.main import app; "
        f"print(CliRunner().invoke(app, {asked!r}).exit_code, *sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True,
        env={**os.environ, "ASSEMBLY_ASSISTANT_DATA": str(tmp_path)},
    ).stdout.split()  # fmt: skip
    assert done[0] == "0"
    assert not heavy & set(done)


def test_a_list_seen_before_reads_no_procedure_again(tmp_path: Path) -> None:
    program = (
        "import sys; from typer.testing import CliRunner; from assistant.cli.main import app; "
        "print(CliRunner().invoke(app, ['procedures']).output, *sys.modules, sep='\\n')"
    )
    kept = {"ASSEMBLY_ASSISTANT_DATA": str(tmp_path), "XDG_CACHE_HOME": str(tmp_path)}
    first, second = (
        subprocess.run(
            [sys.executable, "-c", program], capture_output=True, text=True, check=True,
            env={**os.environ, **kept, "LOCALAPPDATA": str(tmp_path), "HOME": str(tmp_path)},
        ).stdout.splitlines()
        for _ in range(2)
    )  # fmt: skip
    assert "assistant.procedure.loader" in first
    assert not {"assistant.procedure.loader", "ruamel", "assistant.language"} & set(second)
    assert [x for x in first if "kb2_" in x] == [x for x in second if "kb2_" in x] != []


def test_a_command_that_runs_is_the_real_one() -> None:
    """The list of commands is made of names alone; what is run after it is not."""
    runner = CliRunner()
    assert "Build with a procedure" in runner.invoke(app, ["--help"]).output
    assert "kb2_input_shaft" in runner.invoke(app, ["procedures"]).output


@pytest.mark.parametrize("command", ["", "run", "fit", "models", "hearing"])
def test_the_help_speaks_to_a_mechanic(command: str) -> None:
    asked = [*command.split(), "--help"]
    shown = CliRunner().invoke(app, asked, env={"COLUMNS": "120"}).output
    assert "--help" in shown
    for jargon in ("<bool>", "Nats", "nats", "Shewhart"):
        assert jargon not in shown
    before = shown.partition("Advanced")[0]  # the panel for those who need it
    for inner in ("--engine ", "--no-profile", "--lead", "hearing ", "models "):
        assert command in ("fit", "models", "hearing") or inner not in before


def test_what_is_no_longer_needed_is_collected_while_a_command_runs(tmp_path: Path) -> None:
    """Nothing is collected while it is imported; a session of a day must be."""
    program = (
        "import gc, weakref\n"
        "from assistant.cli import main, procedures_command\n"
        "class Loop: pass\n"
        "def used(*_, **__):\n"
        "    one = Loop(); one.itself = one; gone = weakref.ref(one); del one\n"
        "    made = [[] for _ in range(100_000)]\n"
        "    print(gc.isenabled(), gone() is None, gc.get_freeze_count() > 0)\n"
        "procedures_command.tell_table = used\n"
        "main.entry()\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program, "procedures"],
        env={**os.environ, "XDG_CACHE_HOME": str(tmp_path)},
        capture_output=True,
        text=True,
        check=True,
    )
    assert ran.stdout == "True True True\n"


def test_an_option_that_takes_no_value_still_works() -> None:
    shown = CliRunner().invoke(app, ["hearing", "--listener", "nobody"])
    assert shown.exit_code == 2
    assert CliRunner().invoke(app, ["--version"]).output.startswith("assembly-assistant ")
