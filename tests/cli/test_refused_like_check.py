"""run, resume and rehearse refuse what check refuses, before the first word, and show warnings."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from assistant.cli.main import app
from assistant.cli.workplace import open_store
from assistant.dialogue.events import Opened, Person
from assistant.journal.types import Draft
from assistant.procedure.loader import load_procedure
from tests.procedure.kit import SOUND

PEOPLE = ("--builder", "Otto Brandwick", "--inspector", "Marta Quill")

SPOILED = [
    ("gauge: dial", "gauge: dail", "'dail' is not among the gauges"),
    ("lower: 2 thou, upper: 6 thou", "lower: 2 s, upper: 6 s", "does not"),
    ("unit: lbf*ft, resolution: 0.5 lbf*ft", "unit: lbf*ft, resolution: 0 lbf*ft", "resolution"),
    ("^KB[0-9]{3}$", "^KB[0-9", "not a regular expression"),
    ("[top, bottom]", "['<top>', bottom]", "top"),
]


def call(*arguments: str, typed: str = "") -> Result:
    return CliRunner().invoke(app, list(arguments), input=typed)


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))


def written(tmp_path: Path, old: str = "", new: str = "") -> Path:
    path = tmp_path / "small.yaml"
    assert old in SOUND
    path.write_text(SOUND.replace(old, new, 1) if old else SOUND, encoding="utf-8")
    return path


def refused(result: Result, told: str) -> None:
    assert result.exit_code == 2, result.output
    assert told in result.stderr
    assert "error:" in result.stderr
    assert not result.stdout


@pytest.mark.parametrize(("old", "new", "told"), SPOILED)
def test_what_check_refuses_is_not_begun(old: str, new: str, told: str, tmp_path: Path) -> None:
    path = str(written(tmp_path, old, new))
    checked = call("check", path)
    assert checked.exit_code == 1
    assert told in checked.stdout
    refused(call("rehearse", path), told)
    refused(call("run", path, *PEOPLE, "--keyboard", "--voice", "silent", typed="x\n"), told)
    assert open_store(None).journal.sessions() == []


@pytest.mark.parametrize(("old", "new", "told"), SPOILED)
def test_nor_gone_on_with(old: str, new: str, told: str, tmp_path: Path) -> None:
    procedure = load_procedure(written(tmp_path, old, new))
    at = "2026-01-05T08:00:00+00:00"
    opened = Opened(
        at=at, job="KB2-7", procedure_id="small", procedure_revision="A",
        procedure_sha256="0" * 64, procedure=procedure.model_dump(mode="json"),
        people=(Person(name="Otto Brandwick", initials="OB", role="builder"),),
    )  # fmt: skip
    kept = open_store(None)
    kept.journal.append("s1", [Draft("event", at, opened.model_dump(mode="json"))], 0)
    result = call("resume", "s1", "--keyboard", "--voice", "silent", typed="x\n")
    refused(result, told)
    assert "s1" in result.stderr
    assert len(list(kept.journal.read("s1"))) == 1


def test_a_stored_procedure_that_cannot_be_read_is_told_in_one_sentence() -> None:
    at = "2026-01-05T08:00:00+00:00"
    body = {"kind": "opened", "at": at, "job": "KB2-7", "procedure_id": "small"}
    kept = open_store(None)
    kept.journal.append("s1", [Draft("event", at, body)], 0)
    result = call("resume", "s1", "--keyboard")
    assert result.exit_code == 2
    assert len(result.stderr.strip().splitlines()) == 1
    assert "s1" in result.stderr


def test_warnings_are_shown_and_the_work_goes_on(tmp_path: Path) -> None:
    path = str(written(tmp_path, ', what: serial,\n     form: "^KB[0-9]{3}$"', ", what: serial"))
    for command in (
        ("run", path, *PEOPLE, "--keyboard", "--voice", "silent"),
        ("rehearse", path),
    ):
        result = call(*command, typed="where am i\n")
        assert result.exit_code == 0, result.output
        assert "warning: step 'serial': The number has no 'form'" in result.stderr
        assert f"{path}: line " in result.stderr
