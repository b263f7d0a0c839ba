"""A revised procedure is noticed on resuming, wherever its file is and whatever its name."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.cli.revised import show_revision
from assistant.cli.workplace import latest_session, open_store, stored_opening, stored_procedure
from assistant.dialogue.events import Opened
from assistant.procedure.models import Procedure
from tests.cli.test_commands import PEOPLE, call

TEXT = (Path("procedures") / "kb2_gauge_practice.yaml").read_text(encoding="utf-8")
LINES = "charlie\nthat is right\ncaution understood\nstop work\nthat is right\n"
KEYS = ("--keyboard", "--voice", "silent")


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))


def begin(file: Path) -> tuple[Opened, Procedure]:
    begun = call("run", str(file), *PEOPLE, *KEYS, typed=LINES)
    assert "Work is stopped" in begun.output
    kept = open_store(None)
    opened = stored_opening(kept, latest_session(kept))
    return opened, stored_procedure(opened, "it")


def revise(file: Path, text: str = TEXT) -> None:
    file.write_text(text.replace("say: ", "say: Once more. ", 1), encoding="utf-8")


def test_a_session_begun_from_a_path_notices_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = Path.cwd()
    text = TEXT.replace("id: kb2_gauge_practice", "id: kb2_elsewhere")
    (tmp_path / "practice of mine.yaml").write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    opened, _ = begin(Path("practice of mine.yaml"))
    assert opened.procedure_path == str(tmp_path / "practice of mine.yaml")
    revise(tmp_path / "practice of mine.yaml", text)
    monkeypatch.chdir(here)
    resumed = call("resume", *KEYS, typed="step done\ncaution understood\n")
    assert "One step done already has changed: " in resumed.output
    assert "That does not fit here. Say caution understood" in resumed.output


def test_a_copy_under_the_same_id_elsewhere_is_not_taken_for_it(tmp_path: Path) -> None:
    copy = tmp_path / "copy.yaml"
    revise(copy)
    opened, recorded = begin(copy)
    assert show_revision(opened, recorded) is None


def test_an_older_session_finds_its_file_by_the_procedures_id(tmp_path: Path) -> None:
    folder = tmp_path / "data" / "procedures"
    folder.mkdir(parents=True)
    own = folder / "another name.yaml"
    text = TEXT.replace("id: kb2_gauge_practice", "id: kb2_own")
    own.write_text(text, encoding="utf-8")
    opened, recorded = begin(own)
    older = opened.model_copy(update={"procedure_path": ""})
    assert show_revision(older, recorded) is None
    revise(own, text)
    found = show_revision(older, recorded)
    assert found is not None
    assert len(found.changed) == 1


def test_a_file_that_is_faulty_now_was_changed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text(TEXT, encoding="utf-8")
    opened, recorded = begin(file)
    file.write_text("id: [", encoding="utf-8")
    found = show_revision(opened, recorded)
    assert found is not None
    assert found.head
    assert "faulty now" in capsys.readouterr().out


def test_a_file_that_is_gone_is_said_to_be_gone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text(TEXT.replace("id: kb2_gauge_practice", "id: kb2_gone"), encoding="utf-8")
    opened, recorded = begin(file)
    file.unlink()
    assert show_revision(opened, recorded) is None
    assert f"{file} is not there any more" in capsys.readouterr().out


def test_a_comment_is_no_revision(tmp_path: Path) -> None:
    file = tmp_path / "mine.yaml"
    file.write_text(TEXT, encoding="utf-8")
    opened, recorded = begin(file)
    file.write_text(TEXT + "# seen by the foreman\n", encoding="utf-8")
    assert show_revision(opened, recorded) is None
