"""The console command as a builder uses it, on a keyboard."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner, Result

from assistant.cli.demo import load_demo
from assistant.cli.main import app
from assistant.cli.workplace import latest_session, open_store
from assistant.journal.types import Draft
from tests.session.pictures import picture

PEOPLE = ("--builder", "Otto Brandwick", "--inspector", "Marta Quill")


def call(*arguments: str, typed: str = "") -> Result:
    return CliRunner().invoke(app, list(arguments), input=typed)


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))


def test_procedures_are_listed_checked_and_printed() -> None:
    listed = call("procedures").output
    for name in ("kb2_input_shaft", "kb2_output_bearing", "kb2_coupling_guard"):
        assert name in listed
        assert call("check", name).exit_code == 0
        printed = call("print", name)
        assert printed.exit_code == 0
        assert "fictional" in printed.output


def test_two_revisions_are_compared_in_words(tmp_path: Path) -> None:
    text = (Path("procedures") / "kb2_input_shaft.yaml").read_text(encoding="utf-8")
    new = tmp_path / "new.yaml"
    new.write_text(text.replace("target: 12 lbf*ft", "target: 13 lbf*ft"), encoding="utf-8")
    said = call("compare", "kb2_input_shaft", str(new)).output
    assert "12 lbf*ft" in said
    assert "13 lbf*ft" in said


def test_the_schema_is_json() -> None:
    schema = json.loads(call("schema").output)
    assert "steps" in schema["properties"]


def test_a_session_is_stopped_and_resumed_and_its_record_exported(tmp_path: Path) -> None:
    lines = list(load_demo().lines)
    typed = [
        "reused parts" if line == "new parts" else line for line in lines
    ]  # reused parts leave out the ten minutes' cooling
    at = typed.index("lip seal") + 2
    first = call(
        "run", "kb2_input_shaft", *PEOPLE, "--keyboard", "--voice", "silent",
        typed="\n".join([*typed[:at], "stop work", "that is right"]) + "\n",
    )  # fmt: skip
    assert first.exit_code == 0, first.output
    assert "Work is stopped and saved" in first.output
    second = call("resume", "--keyboard", "--voice", "silent", typed="where am i\n")
    assert "Welcome back" in second.output
    assert "Step 4 of 21" in second.output
    listed = call("records").output
    assert listed.count("kb2_input_shaft") == 1 + listed.count("-kb2-input-shaft-")
    shown = call("record").output
    assert shown.index("NOT FINISHED") < shown.index("Deviations") < shown.index("Cautions")
    assert "as it was written" in call("verify").output
    sealed = call("seal", "--to", str(tmp_path / "seal.json"))
    assert sealed.exit_code == 0
    assert json.loads((tmp_path / "seal.json").read_text(encoding="utf-8"))["session"]


def test_a_demonstration_is_not_among_the_records_of_real_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path))
    done = call("demo", "--keyboard")
    assert done.exit_code == 0, done.output
    place = tmp_path / "first-tries" / "records.db"
    assert f'--store "{place}"' in done.output
    assert "Nothing has been recorded yet" in call("records").output
    assert "There is no build" in call("trend", "kb2_input_shaft", "end_float").output
    assert "kb2_input_shaft" in call("records", "--store", str(place)).output
    assert "invented" in (place.parent / "README.txt").read_text(encoding="utf-8")


def test_the_demonstrations_record_in_every_form(tmp_path: Path) -> None:
    store = ("--store", str(tmp_path / "demo.db"))
    assert call("demo", "--keyboard", *store).exit_code == 0
    files = {kind: tmp_path / f"record.{kind}" for kind in ("csv", "json", "html")}
    arguments = [part for kind, path in files.items() for part in (f"--{kind}", str(path))]
    assert call("record", *arguments, *store).exit_code == 0
    rows = list(csv.DictReader(io.StringIO(files["csv"].read_text(encoding="utf-8"))))
    assert len(rows) >= 7
    assert json.loads(files["json"].read_text(encoding="utf-8"))["job"] == "KB2-7"
    page = files["html"].read_text(encoding="utf-8")
    assert "Marta Quill" in page
    assert "http://" not in page.replace("http://www.w3.org", "")


def test_doctor_names_what_is_found_and_mends_what_is_not() -> None:
    result = call("doctor")
    assert result.exit_code == 0, result.output
    assert "found   ear" in result.output
    assert "records.db" in result.output


def test_the_version_and_help() -> None:
    assert call("--version").output.startswith("assembly-assistant ")
    for command in ("run", "resume", "demo", "record", "verify", "doctor"):
        assert call(command, "--help").exit_code == 0


def test_a_dimension_over_builds_and_the_search_for_a_record() -> None:
    lines = [x.replace("new parts", "reused parts") for x in load_demo().lines]
    for job in ("KB2-21", "KB2-22"):
        built = call(
            "run", "kb2_input_shaft", *PEOPLE, "--job", job, "--keyboard", "--voice", "silent",
            typed="\n".join(lines) + "\n",
        )  # fmt: skip
        assert "Finished." in built.output
    shown = call("trend", "kb2_input_shaft", "end_float").output
    assert shown.count("2.6 thou") == 2
    assert "Fewer than three builds" in shown
    assert "KB2-22" in call("records", "--find", "KB2-22").output
    assert "KB2-21" not in call("records", "--find", "KB2-22").output
    for asked, told in (
        (("kb2_input_shaft", "end_flot"), "has no step 'end_flot'. Did you mean 'end_float'?"),
        (("kb2_input_shaft", "end_float", "--position", "front"), "has no position 'front'."),
        (("kb2_output_bearing", "end_float"), "There is no build of 'kb2_output_bearing'"),
    ):
        missing = call("trend", *asked)
        assert missing.exit_code == 2
        assert told in " ".join(missing.output.split())


def test_a_record_is_printed(tmp_path: Path) -> None:
    store = ("--store", str(tmp_path / "demo.db"))
    assert call("demo", "--keyboard", *store).exit_code == 0
    path = tmp_path / "record.pdf"
    result = call("record", "--pdf", str(path), *store)
    assert result.exit_code == 0, result.output
    assert path.read_bytes().startswith(b"%PDF-")


def test_a_starter_from_a_step_list_and_limits_in_the_other_system(tmp_path: Path) -> None:
    steps = tmp_path / "steps.md"
    steps.write_text("# Kettlebeck cover\n\n1. Wipe the face.\n2. Fit the cover.\n", "utf-8")
    made = tmp_path / "made.yaml"
    assert call("starter", str(steps), "--to", str(made)).exit_code == 0
    assert "Fit the cover" in made.read_text("utf-8")
    translated = call("translate", "kb2_input_shaft", "metric").output
    assert "cap_torque" in translated
    assert "N*m" in translated
    assert call("translate", "kb2_input_shaft", "furlongs").exit_code == 2


def test_a_picture_attached_by_a_typed_line_is_checked_with_the_record(tmp_path: Path) -> None:
    camera = tmp_path / "camera"
    camera.mkdir()
    (camera / "KB2_0001.jpg").write_bytes(picture())
    run = call(
        "run", "kb2_input_shaft", *PEOPLE, "--keyboard", "--voice", "silent",
        "--pictures", str(camera), typed="attach a picture\nstop work\nthat is right\n",
    )  # fmt: skip
    assert "record: picture KB2_0001.jpg" in run.output
    assert call("verify").exit_code == 0
    page = tmp_path / "record.html"
    assert call("record", "--html", str(page)).exit_code == 0
    assert "data:image/jpeg;base64," in page.read_text(encoding="utf-8")
    (kept,) = (tmp_path / "data" / "pictures").iterdir()
    kept.write_bytes(picture(seed=2))
    checked = call("verify")
    assert checked.exit_code == 1
    assert "Picture KB2_0001.jpg of" in checked.output
    assert "has been altered" in checked.output
    kept.unlink()
    assert "is missing" in call("verify").output


def test_a_sound_that_was_altered_is_found_with_the_record() -> None:
    run = call("run", "kb2_input_shaft", *PEOPLE, "--keyboard", typed="stop work\nthat is right\n")
    assert run.exit_code == 0
    kept = open_store(None)
    name = latest_session(kept)
    clip = kept.clips.keep(np.arange(1600, dtype=np.int16))
    last = list(kept.journal.read(name))[-1]
    kept.journal.append(name, [Draft("event", last.at, {"kind": "heard"}, clip)], last.seq)
    assert call("verify").exit_code == 0
    with kept.clips.path(clip).open("r+b") as file:
        file.truncate(100)
    checked = call("verify")
    assert checked.exit_code == 1
    assert "The sound of entry" in checked.output
    assert "as it was written" not in checked.output
    kept.clips.path(clip).unlink()
    archived = call("verify")
    assert archived.exit_code == 0
    assert "(archived?): 1." in archived.output


def test_a_picture_folder_that_is_none_is_told_before_the_work_begins(tmp_path: Path) -> None:
    run = call(
        "run", "kb2_input_shaft", *PEOPLE, "--keyboard", "--pictures", str(tmp_path / "nowhere")
    )
    assert run.exit_code == 2
    assert "is not a folder" in run.output
    assert "Traceback" not in run.output


def test_a_procedure_revised_while_the_job_rested_is_acknowledged_aloud(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "data" / "procedures" / "kb2_own.yaml"
    own.parent.mkdir(parents=True)
    text = (Path("procedures") / "kb2_gauge_practice.yaml").read_text(encoding="utf-8")
    own.write_text(text.replace("id: kb2_gauge_practice", "id: kb2_own"), encoding="utf-8")
    lines = ["charlie", "that is right", "caution understood", "stop work", "that is right"]
    begun = call("run", "kb2_own", *PEOPLE, "--keyboard", "--voice", "silent",
                 typed="\n".join(lines) + "\n")  # fmt: skip
    assert "Work is stopped" in begun.output
    changed = own.read_text(encoding="utf-8").replace("say: ", "say: Once more. ", 1)
    own.write_text(changed, encoding="utf-8")
    resumed = call("resume", "--keyboard", "--voice", "silent",
                   typed="step done\ncaution understood\nwhere am i\n")  # fmt: skip
    assert "One step done already has changed: " in resumed.output
    assert "That does not fit here. Say caution understood" in resumed.output
    assert "revision A of the procedure acknowledged" in resumed.output
    again = call("resume", "--keyboard", "--voice", "silent", typed="where am i\n")
    assert "has changed since" in again.output
    assert "Say caution understood" not in again.output
