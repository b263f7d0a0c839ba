"""export and import: one file carries a session whole, and one that was changed is refused."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile, ZipInfo

import pytest
from typer.testing import CliRunner, Result

from assistant.cli.main import app
from assistant.journal.clips import ClipStore
from assistant.journal.pictures import PictureStore
from assistant.journal.store import SqlJournal
from assistant.journal.types import JournalError
from assistant.report.carried_file import ENTRIES, MANIFEST, MARK, SEALS, digest_of
from assistant.report.carried_reading import read_carried
from assistant.report.copied import RecordPlace
from tests.journal.drafts import SESSION, draft
from tests.journal.shelf import Shelf, shelf_in


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return shelf_in(tmp_path)


@pytest.fixture
def stick(shelf: Shelf, tmp_path: Path) -> Path:
    """The file that carries the shelf's record."""
    (tmp_path / "stick").mkdir()
    done = call("export", SESSION, "--to", str(tmp_path / "stick"), "--store", shelf.store)
    assert done.exit_code == 0, done.output
    return tmp_path / "stick" / f"{SESSION}.zip"


def call(*arguments: str) -> Result:
    return CliRunner().invoke(app, arguments)


def take(file: Path, there: Path) -> Result:
    return call("import", str(file), "--store", str(there / "records.db"))


def test_it_arrives_whole_and_twice_does_no_harm(shelf: Shelf, stick: Path, tmp_path: Path) -> None:
    there = tmp_path / "there"
    for _ in range(2):
        done = take(stick, there)
        assert done.exit_code == 0, done.output
        assert f"{SESSION}, 3 entries" in done.output
    shelf.arrived_whole(there)


def test_the_same_record_makes_the_same_bytes_and_no_file_is_replaced(
    shelf: Shelf, stick: Path, tmp_path: Path
) -> None:
    again = tmp_path / "again.zip"
    assert call("export", SESSION, "--to", str(again), "--store", shelf.store).exit_code == 0
    assert again.read_bytes() == stick.read_bytes()
    refused = call("export", SESSION, "--to", str(again), "--store", shelf.store)
    assert refused.exit_code == 2
    assert "is there already" in refused.output


def test_a_record_that_was_altered_is_not_exported(shelf: Shelf, tmp_path: Path) -> None:
    shelf.picture.write_bytes(shelf.picture.read_bytes() + b"x")
    refused = call("export", SESSION, "--to", str(tmp_path / "x.zip"), "--store", shelf.store)
    assert refused.exit_code == 2
    assert "is not exported" in refused.output
    assert not (tmp_path / "x.zip").exists()


def test_an_archived_sound_is_counted_on_both_ways(shelf: Shelf, tmp_path: Path) -> None:
    shelf.clip.unlink()
    file = tmp_path / "x.zip"
    assert "copy: 1." in call("export", SESSION, "--to", str(file), "--store", shelf.store).output
    assert "in the file: 1." in take(file, tmp_path / "there").output


def place(folder: Path) -> RecordPlace:
    return RecordPlace(
        ClipStore(folder / "clips"), PictureStore(folder / "pictures"),
        SqlJournal(folder / "records.db"),
    )  # fmt: skip


def test_any_changed_byte_is_refused(stick: Path, tmp_path: Path) -> None:
    content = stick.read_bytes()
    target = place(tmp_path / "there")
    chosen = random.Random(20260105).sample(range(len(content)), 400)
    changed = tmp_path / "changed.zip"
    for at in [*chosen, 0, len(content) - 1, len(content) - 64, len(content) - 65]:
        changed.write_bytes(content[:at] + bytes([content[at] ^ (1 << at % 8)]) + content[at + 1 :])
        with pytest.raises(JournalError, match=r"changed or damaged|no whole record"):
            read_carried(changed, target)
    for cut in (0, 1, 64, len(content) // 2, len(content) - 1):
        changed.write_bytes(content[:cut])
        with pytest.raises(JournalError, match=r"changed or damaged|no whole record"):
            read_carried(changed, target)
    assert target.journal.sessions() == []
    assert not (tmp_path / "there" / "clips").exists()


Members = dict[str, bytes]


def forged(file: Path, edit: Callable[[Members], object], how: int = ZIP_STORED) -> Path:
    """``file`` with other members, and the digest that belongs to them."""
    with ZipFile(file) as archive:
        members = {name: archive.read(name) for name in archive.namelist()}
    edit(members)
    made = BytesIO()
    with ZipFile(made, "w") as archive:
        archive.comment = MARK + b"0" * 64
        for name, content in members.items():
            own = ZIP_DEFLATED if "/" not in name else how
            archive.writestr(ZipInfo(name), content, own)
    size = len(made.getvalue())
    digest = digest_of(made, size - 64)
    other = file.with_name("forged.zip")
    other.write_bytes(made.getvalue()[:-64] + digest)
    return other


def _first(members: Members, beginning: str) -> str:
    return next(name for name in members if name.startswith(beginning))


def _entry_changed(members: Members) -> None:
    members[ENTRIES] = members[ENTRIES].replace(b'"number": 1', b'"number": 2')


def _entry_cut_off(members: Members) -> None:
    lines = members[ENTRIES].splitlines(keepends=True)[:-1]
    last = json.loads(lines[-1])
    members[ENTRIES] = b"".join(lines)
    made = {**json.loads(members[MANIFEST]), "entries": last["seq"], "last_hash": last["hash"]}
    members[MANIFEST] = json.dumps(made).encode()


def _sound_changed(members: Members) -> None:
    members[_first(members, "clips/")] += b"x"


def _picture_out(members: Members) -> None:
    del members[_first(members, "pictures/")]


def _outside(members: Members) -> None:
    members["../records.db"] = b"x"


def _seal_changed(members: Members) -> None:
    members[SEALS] = members[SEALS].replace(b'"entries":3', b'"entries":2')


def _no_json(members: Members) -> None:
    members[ENTRIES] = b"[" * 100_000


def _another_session(members: Members) -> None:
    members[MANIFEST] = members[MANIFEST].replace(SESSION.encode(), b"other")


@pytest.mark.parametrize(
    ("edit", "why"),
    [
        (_entry_changed, "does not follow the one before"),
        (_entry_cut_off, "cut short of its seal"),
        (_sound_changed, "was altered"),
        (_picture_out, "is missing"),
        (_outside, "no whole record"),
        (_seal_changed, "seal of kb2-1 has been altered"),
        (_no_json, "no whole record"),
        (_another_session, "no whole record"),
    ],
)
def test_a_forger_who_counts_the_digest_again_is_refused(
    stick: Path, tmp_path: Path, edit: Callable[[Members], None], why: str
) -> None:
    there = tmp_path / "there"
    refused = take(forged(stick, edit), there)
    assert refused.exit_code == 2, refused.output
    assert why in " ".join(refused.output.split())
    assert SqlJournal(there / "records.db").sessions() == []


def test_what_unpacks_to_more_than_a_file_may_have_is_refused(stick: Path, tmp_path: Path) -> None:
    def swell(members: Members) -> None:
        members[MANIFEST] = b" " * 20_000_000 + members[MANIFEST]

    assert "no whole record" in take(forged(stick, swell), tmp_path / "there").output
    packed = forged(stick, lambda members: None, how=ZIP_DEFLATED)
    assert "no whole record" in take(packed, tmp_path / "there").output
    assert take(forged(stick, lambda members: None), tmp_path / "there").exit_code == 0


@pytest.mark.parametrize("field", [12, 16])
def test_an_archive_whose_numbers_are_wrong_is_refused(
    stick: Path, tmp_path: Path, field: int
) -> None:
    content = stick.read_bytes()
    at = content.rindex(b"PK\5\6") + field  # the end of central directory record
    made = content[:at] + b"\x7f" * 4 + content[at + 4 : -64]
    (tmp_path / "wrong.zip").write_bytes(made + sha256(made).hexdigest().encode())
    refused = take(tmp_path / "wrong.zip", tmp_path / "there")
    assert refused.exit_code == 2
    assert "no whole record" in refused.output


def test_another_session_of_that_name_stays(stick: Path, tmp_path: Path) -> None:
    other = place(tmp_path / "there").journal
    kept = other.append(SESSION, [draft(8), draft(9)], 0)
    refused = take(stick, tmp_path / "there")
    assert refused.exit_code == 2
    assert "differs between the two stores" in refused.output
    assert list(other.read(SESSION)) == kept


def test_what_is_no_file_is_refused_in_a_sentence(tmp_path: Path) -> None:
    for file in (tmp_path, tmp_path / "missing.zip"):
        refused = take(file, tmp_path / "there")
        assert refused.exit_code == 2
        assert "Traceback" not in refused.output
        assert refused.output.strip()
