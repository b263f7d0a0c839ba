"""A user's mistake gives one clear sentence and a non-zero exit, never a traceback."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from assistant.cli.main import app

RUN = ("run", "kb2_input_shaft", "--builder", "Otto Brandwick", "--voice", "silent")


def call(*arguments: str, typed: str = "") -> Result:
    return CliRunner().invoke(app, list(arguments), input=typed)


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))


def wrong(result: Result, *words: str) -> None:
    """Exit status 2, and one line on standard error that names what is wrong."""
    assert result.exit_code == 2, result.output
    told = result.stderr.strip()
    assert "Traceback" not in told
    assert len(told.splitlines()) == 1, told
    for word in words:
        assert word in told


def test_an_unknown_procedure() -> None:
    wrong(call("run", "kb9", "--builder", "Otto Brandwick"), "kb9", "kb2_input_shaft")


def test_a_procedure_file_that_is_not_there() -> None:
    wrong(call("run", "nowhere.yaml", "--builder", "Otto Brandwick"), "nowhere.yaml")


def test_every_fault_of_a_faulty_procedure_is_told(tmp_path: Path) -> None:
    path = tmp_path / "bad.yaml"
    path.write_text("id: kb2_x\ntitel: Kettlebeck\nsteps: []\n", encoding="utf-8")
    result = call("check", str(path))
    assert result.exit_code == 2
    assert "bad.yaml:2" in result.stderr
    assert "governing" in result.stderr
    assert "Traceback" not in result.output


def test_a_procedure_whose_name_is_misspelt() -> None:
    wrong(call("check", "kb2_imput_shaft"), "did you mean 'kb2_input_shaft'?")


def test_a_hold_point_without_an_inspector() -> None:
    wrong(call(*RUN, "--keyboard"), "--inspector")


def test_an_inspector_with_the_builders_initials() -> None:
    wrong(call(*RUN, "--inspector", "Olga Brand", "--keyboard"), "initials")


def test_a_builder_with_one_name_only() -> None:
    wrong(call("run", "kb2_input_shaft", "--builder", "Otto", "--keyboard"), "Otto")


def test_a_recording_that_is_not_there() -> None:
    wrong(call(*RUN, "--inspector", "Marta Quill", "--audio", "no.wav"), "no.wav")


def test_a_recording_that_is_no_sound(tmp_path: Path) -> None:
    path = tmp_path / "text.wav"
    path.write_text("not sound", encoding="utf-8")
    wrong(call(*RUN, "--inspector", "Marta Quill", "--audio", str(path)), "text.wav")


def test_an_unknown_engine() -> None:
    wrong(call("demo", "--engine", "parrot"), "parrot", "ear")


def test_a_store_in_a_place_that_cannot_be(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_text("", encoding="utf-8")
    wrong(call("records", "--store", str(path / "records.db")), "cannot be made")


def test_nothing_to_resume() -> None:
    wrong(call("resume", "--keyboard"), "run")


def test_a_session_that_is_not_there() -> None:
    wrong(call("record", "20200101-no-such"), "20200101-no-such")
    wrong(call("verify", "20200101-no-such"), "20200101-no-such")


def test_a_demonstration_is_not_gone_on_with(tmp_path: Path) -> None:
    store = str(tmp_path / "demo.db")
    assert call("demo", "--keyboard", "--store", store).exit_code == 0
    wrong(call("resume", "--keyboard", "--store", store), "demonstration")


def test_an_export_that_cannot_be_written(tmp_path: Path) -> None:
    store = str(tmp_path / "demo.db")
    assert call("demo", "--keyboard", "--store", store).exit_code == 0
    wrong(call("record", "--store", store, "--csv", str(tmp_path / "no" / "x.csv")), "x.csv")
