"""Exports never write over the store, nor over a file that is not a former export of the kind."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest
from typer.testing import CliRunner, Result

from assistant.cli.main import app
from assistant.cli.workplace import latest_session, open_store
from assistant.journal.types import Draft
from tests.session.pictures import picture
from tests.systems import POSIX

KINDS = ("csv", "json", "html")
PEOPLE = ("--builder", "Otto Brandwick", "--inspector", "Marta Quill")


def call(*arguments: str, typed: str = "") -> Result:
    return CliRunner().invoke(app, list(arguments), input=typed)


@pytest.fixture(autouse=True)
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A store with a short session in it."""
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))
    begun = call("run", "kb2_gauge_practice", *PEOPLE, "--keyboard", "--voice", "silent",
                 typed="stop work\nthat is right\n")  # fmt: skip
    assert begun.exit_code == 0, begun.output
    return tmp_path / "data" / "records.db"


def refused(result: Result) -> None:
    assert result.exit_code == 2, result.output
    assert len(result.stderr.strip().splitlines()) == 1
    assert "Written" not in result.stdout


@POSIX
@pytest.mark.parametrize("kind", [*KINDS, "pdf"])
def test_the_store_is_never_written_over(kind: str, store: Path, tmp_path: Path) -> None:
    link = tmp_path / "link"
    link.symlink_to(store)
    clip = store.parent / "clips" / "new.flac"
    for place in (store, link, store.with_name("records.db-wal"), clip,
                  store.with_name("seal-key.pem"), store.with_name("waiting.db")):  # fmt: skip
        refused(call("record", f"--{kind}", str(place)))
    refused(call("seal", "--to", str(store)))
    refused(call("record", "--store", str(store), f"--{kind}", str(store)))
    assert store.read_bytes().startswith(b"SQLite format 3")
    assert call("verify").exit_code == 0
    assert not open_store(None).journal.seals(latest_session(open_store(None)))


@POSIX
@pytest.mark.parametrize("kind", [*KINDS, "pdf"])
def test_a_file_of_somebody_elses_stays(kind: str, tmp_path: Path) -> None:
    mine = tmp_path / f"mine.{kind}"
    mine.write_bytes(b"%PDF-1.4 notes of my own\n%%EOF\n")
    refused(call("record", f"--{kind}", str(mine)))
    assert mine.read_bytes().startswith(b"%PDF-1.4 notes")
    refused(call("record", f"--{kind}", str(tmp_path)))
    os.mkfifo(tmp_path / "pipe")
    refused(call("record", f"--{kind}", str(tmp_path / "pipe")))


@pytest.mark.parametrize("kind", [*KINDS, "pdf"])
def test_a_former_export_is_replaced_whole(kind: str, tmp_path: Path) -> None:
    path = tmp_path / f"record.{kind}"
    for _ in range(2):
        assert call("record", f"--{kind}", str(path)).exit_code == 0
    assert sorted(p.name for p in tmp_path.iterdir()) == ["data", f"record.{kind}"]
    others = [other for other in KINDS if other != kind]
    before = path.read_bytes()
    for other in others:
        refused(call("record", f"--{other}", str(path)))
    assert path.read_bytes() == before


def test_of_several_exports_none_is_written_where_one_may_not_be(tmp_path: Path) -> None:
    mine = tmp_path / "mine.json"
    mine.write_text("{}", encoding="utf-8")
    csv = tmp_path / "record.csv"
    refused(call("record", "--csv", str(csv), "--json", str(mine)))
    refused(call("record", "--csv", str(csv), "--json", str(csv)))
    assert not csv.exists()


def test_a_seal_that_was_put_away_and_a_starter_stay(tmp_path: Path) -> None:
    seal, steps = tmp_path / "seal.json", tmp_path / "steps.md"
    assert call("seal", "--to", str(seal)).exit_code == 0
    kept = open_store(None)
    name = latest_session(kept)
    last = list(kept.journal.read(name))[-1]
    kept.journal.append(name, [Draft("event", last.at, {"kind": "heard"})], last.seq)
    before = seal.read_bytes()
    refused(call("seal", "--to", str(seal)))
    assert seal.read_bytes() == before
    steps.write_text("1. Clean the bore.\n", encoding="utf-8")
    refused(call("starter", str(steps), "--to", str(steps)))
    assert steps.read_text(encoding="utf-8") == "1. Clean the bore.\n"


def test_a_page_never_shows_what_was_swapped_on_the_disk(tmp_path: Path, store: Path) -> None:
    kept = open_store(None)
    name = latest_session(kept)
    last = list(kept.journal.read(name))[-1]
    swapped, whole = (kept.pictures.keep(picture(seed=n), "jpeg") for n in (1, 2))
    secret = tmp_path / "secret.jpg"
    secret.write_bytes(picture(seed=4))
    sound = kept.clips.keep(np.arange(1600, dtype=np.int16))
    facts = [
        Draft("fact", last.at, {"kind": "picture_attached", "step": None, "name": f"{n}.jpg",
              "file": file, "media": "jpeg", "size": 9, "taken": last.at}, sound)
        for n, file in enumerate((swapped, whole, "../../secret"))
    ]  # fmt: skip
    note = {"kind": "note_taken", "step": None, "text": "", "clip": sound, "seconds": 1.0}
    heard = Draft("event", last.at, {"kind": "heard"}, sound)
    drafts = [heard, *facts, Draft("fact", last.at, note)]
    kept.journal.append(name, drafts, last.seq)
    page = tmp_path / "record.html"
    assert call("record", "--html", str(page)).exit_code == 0
    assert page.read_text(encoding="utf-8").count("data:image/jpeg;base64,") == 2
    kept.pictures.path(swapped, "jpeg").write_bytes(picture(seed=3))
    kept.clips.path(sound).write_bytes(b"fLaC")
    assert call("record", "--html", str(page)).exit_code == 0
    text = page.read_text(encoding="utf-8")
    assert text.count("data:image/jpeg;base64,") == 1
    assert "THE FILE HAS BEEN ALTERED" in text
    assert f"{sound[:8]} HAS BEEN ALTERED" in text
    assert f"{swapped}.jpg" not in text
    assert f"{sound}.flac" not in text
    checked = call("verify")
    assert checked.exit_code == 1
    assert "could keep" in checked.output
