"""verify and seal: a record rewritten and sealed again, and copies kept elsewhere to compare."""

from __future__ import annotations

import json
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

import pytest
from sqlalchemy import text
from typer.testing import CliRunner, Result

from assistant.cli.main import app
from assistant.journal.seal import Seal, fingerprint, seal_record, signing_key
from assistant.journal.store import SqlJournal
from assistant.journal.types import Draft
from tests.journal.drafts import AT, SESSION, draft, opening
from tests.systems import POSIX


def call(*arguments: str) -> Result:
    return CliRunner().invoke(app, list(arguments))


@pytest.fixture(autouse=True)
def data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A store with a record of three entries; no clip or picture in it."""
    monkeypatch.setenv("ASSEMBLY_ASSISTANT_DATA", str(tmp_path / "data"))
    record(tmp_path / "data", [plain(draft(1)), plain(draft(2))])
    return tmp_path / "data"


def plain(one: Draft) -> Draft:
    return Draft(one.kind, one.at, one.body, None, one.engine)


def record(data: Path, drafts: list[Draft]) -> None:
    journal = SqlJournal(data / "records.db")
    journal.append(SESSION, [opening(), *drafts], 0)
    journal.close()


def rewritten(data: Path, key: Path) -> None:
    """What somebody with the machine can do: rewrite all entries, seal with the key in ``key``."""
    journal = SqlJournal(data / "records.db")
    with journal._engine.begin() as connection:
        for table in ("entry", "session", "seal"):
            connection.execute(text(f"DELETE FROM {table}"))
    journal.close()
    record(data, [plain(draft(3)), plain(draft(4))])
    journal = SqlJournal(data / "records.db")
    last = list(journal.read(SESSION))[-1]
    journal.keep_seal(seal_record(SESSION, last.seq, last.hash, AT, signing_key(key)))
    journal.close()


def test_a_sealed_record_shows_the_fingerprint_of_its_key(data: Path) -> None:
    sealed = call("seal")
    assert sealed.exit_code == 0, sealed.output
    (stored,) = SqlJournal(data / "records.db").seals(SESSION)
    digits = sha256(bytes.fromhex(stored.public_key)).hexdigest()[:32]
    assert fingerprint(stored.public_key).replace(" ", "") == digits
    checked = call("verify")
    assert checked.exit_code == 0, checked.output
    for output in (sealed.output, checked.output):
        assert fingerprint(stored.public_key) in output
        assert f"3:{stored.last_hash}" in output


def test_a_record_rewritten_and_sealed_with_another_key_is_not_passed(
    data: Path, tmp_path: Path
) -> None:
    assert call("seal").exit_code == 0
    rewritten(data, tmp_path / "other")
    checked = call("verify")
    assert checked.exit_code == 1
    assert "Warning" in checked.output
    assert "first seen on this machine" in checked.output
    assert "as it was written" not in checked.output


def test_the_key_seen_first_stays_the_first_even_where_it_came_with_a_record(
    data: Path, tmp_path: Path
) -> None:
    """A machine that has no key of its own and looks at another bench's records."""
    rewritten(data, tmp_path / "first")
    assert call("verify").exit_code == 0
    assert call("verify").exit_code == 0
    rewritten(data, tmp_path / "second")
    assert call("verify").exit_code == 1
    rewritten(data, tmp_path / "first")
    assert call("verify").exit_code == 0


def test_a_key_of_ones_own_that_is_not_the_first_says_so(data: Path, tmp_path: Path) -> None:
    rewritten(data, tmp_path / "first")
    assert call("verify").exit_code == 0
    journal = SqlJournal(data / "records.db")
    journal.append(SESSION, [plain(draft(5))], 3)
    sealed = call("seal")
    assert sealed.exit_code == 0
    assert "first seen on this machine" in sealed.stderr


@pytest.mark.parametrize(
    "written",
    [
        lambda seal, path: fingerprint(seal.public_key),
        lambda seal, path: fingerprint(seal.public_key).replace(" ", "").upper(),
        lambda seal, path: seal.public_key,
        lambda seal, path: str(path),
    ],
)
def test_a_key_from_outside_decides(
    written: Callable[[Seal, Path], str], data: Path, tmp_path: Path
) -> None:
    away = tmp_path / "seal.json"
    assert call("seal", "--to", str(away)).exit_code == 0
    key = written(Seal.parse(away.read_text(encoding="utf-8")), away)
    assert call("verify", "--key", key).exit_code == 0
    rewritten(data, tmp_path / "other")
    checked = call("verify", "--key", key)
    assert checked.exit_code == 1
    assert "not with the one given" in checked.output
    other = fingerprint(SqlJournal(data / "records.db").seals(SESSION)[0].public_key)
    assert call("verify", "--key", other).exit_code == 0
    assert call("verify", "--key", other, "--key", key).exit_code == 0


def test_a_key_is_not_compared_with_a_record_without_a_seal() -> None:
    checked = call("verify", "--key", "0" * 32)
    assert checked.exit_code == 1
    assert "not sealed" in checked.output


@pytest.mark.parametrize("as_seal", [True, False])
def test_a_head_from_outside_shows_a_record_written_anew(
    as_seal: bool, data: Path, tmp_path: Path
) -> None:
    away = tmp_path / "seal.json"
    assert call("seal", "--to", str(away)).exit_code == 0
    seal = json.loads(away.read_text(encoding="utf-8"))
    head = str(away) if as_seal else f"{seal['entries']}:{seal['last_hash']}"
    assert call("verify", "--head", head).exit_code == 0
    journal = SqlJournal(data / "records.db")
    journal.append(SESSION, [plain(draft(5))], 3)
    assert call("verify", "--head", head).exit_code == 0  # it may have grown
    rewritten(data, data)  # with the machine's own key, so that the key says nothing
    assert call("verify").exit_code == 0
    checked = call("verify", "--head", head)
    assert checked.exit_code == 1
    assert "rewritten" in checked.output


def test_a_head_beyond_the_end_and_one_of_another_session(tmp_path: Path, data: Path) -> None:
    checked = call("verify", "--head", f"9:{'a' * 64}")
    assert checked.exit_code == 1
    assert "cut short" in checked.output
    foreign = seal_record("kb2-9", 3, "a" * 64, AT, signing_key(tmp_path))
    (tmp_path / "foreign.json").write_text(foreign.model_dump_json(), encoding="utf-8")
    assert "kb2-9" in call("verify", "--head", str(tmp_path / "foreign.json")).output


@pytest.mark.parametrize(
    "given",
    ["", "12", "x" * 64, pytest.param("/dev/zero", marks=POSIX), "no.json", "3:abc", "a\0b"],
)
@pytest.mark.parametrize("option", ["--key", "--head"])
def test_what_is_neither_is_refused_in_one_sentence(option: str, given: str) -> None:
    result = call("verify", option, given)
    assert result.exit_code == 2, result.output
    assert len(result.stderr.strip().splitlines()) == 1


def test_a_file_that_is_no_seal(tmp_path: Path) -> None:
    path = tmp_path / "x.json"
    path.write_text("{}", encoding="utf-8")
    assert "holds no seal" in call("verify", "--head", str(path)).stderr


def test_a_damaged_memory_of_the_first_key_is_told(data: Path) -> None:
    assert call("seal").exit_code == 0
    (data / "first-seal-key.json").write_text("x", encoding="utf-8")
    result = call("verify")
    assert result.exit_code == 2
    assert "first-seal-key.json is damaged" in result.stderr


def test_the_list_of_records_cannot_be_changed_unseen(data: Path) -> None:
    journal = SqlJournal(data / "records.db")
    with journal._engine.begin() as connection:
        connection.execute(text("UPDATE session SET job = 'KB2-8'"))
    checked = call("verify")
    assert checked.exit_code == 1
    assert "another job" in checked.output
