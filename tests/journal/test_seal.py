"""Seals show what the chain alone cannot: a record cut at its end or rewritten as a whole."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from sqlalchemy import text

from assistant.journal.seal import Seal, seal_record, signing_key
from assistant.journal.store import SqlJournal
from assistant.journal.types import JournalError
from tests.journal.drafts import AT, SESSION, draft, opening


@pytest.fixture
def sealed(journal: SqlJournal, tmp_path: Path) -> SqlJournal:
    """A record of three entries, sealed."""
    last = journal.append(SESSION, [opening(), draft(1), draft(2)], 0)[-1]
    journal.keep_seal(seal_record(SESSION, last.seq, last.hash, AT, signing_key(tmp_path)))
    return journal


def test_a_sealed_record_verifies_and_may_grow(sealed: SqlJournal) -> None:
    assert sealed.verify(SESSION) is None
    sealed.append(SESSION, [draft(3)], 3)
    assert sealed.verify(SESSION) is None


def test_a_record_is_sealed_once_at_its_end(sealed: SqlJournal, tmp_path: Path) -> None:
    (first,) = sealed.seals(SESSION)
    again = seal_record(SESSION, 3, first.last_hash, AT, signing_key(tmp_path / "other"))
    with pytest.raises(JournalError, match="already"):
        sealed.keep_seal(again)
    assert sealed.seals(SESSION) == [first]


def test_cutting_the_end_with_the_count_is_seen(sealed: SqlJournal) -> None:
    with sealed._engine.begin() as connection:
        connection.execute(text("DELETE FROM entry WHERE seq = 3"))
        last = connection.execute(text("SELECT hash FROM entry WHERE seq = 2")).scalar()
        connection.execute(text(f"UPDATE session SET entries = 2, last_hash = '{last}'"))
    bad = sealed.verify(SESSION)
    assert bad is not None
    assert bad.wrong == "seal"
    assert "cut short" in bad.sentence


def test_a_whole_record_written_anew_is_seen(sealed: SqlJournal) -> None:
    with sealed._engine.begin() as connection:
        connection.execute(text("DELETE FROM entry"))
        connection.execute(text("DELETE FROM session"))
    sealed.append(SESSION, [opening(), draft(1), draft(9)], 0)
    bad = sealed.verify(SESSION)
    assert bad is not None
    assert "rewritten" in bad.sentence


@pytest.mark.parametrize("member", ["entries", "last_hash", "sealed_at", "public_key", "signature"])
def test_a_seal_that_was_altered_is_seen(sealed: SqlJournal, member: str) -> None:
    (seal,) = sealed.seals(SESSION)
    old = str(getattr(seal, member))
    new = old.replace(old[-1], "1" if old[-1] != "1" else "2")
    document = seal.model_dump_json().replace(old, new)
    with sealed._engine.begin() as connection:
        connection.execute(text("UPDATE seal SET document = :d"), {"d": document})
    bad = sealed.verify(SESSION)
    assert bad is not None
    assert bad.wrong == "seal"


def test_a_seal_that_is_no_seal(sealed: SqlJournal) -> None:
    with sealed._engine.begin() as connection:
        connection.execute(text("UPDATE seal SET document = '{}x'"))
    with pytest.raises(JournalError, match="cannot be read"):
        sealed.verify(SESSION)


def test_the_signature_holds_for_another_implementation(tmp_path: Path) -> None:
    """RFC 8032 by OpenSSL's command line, from the seal's own members."""
    openssl = shutil.which("openssl")
    assert openssl is not None, "install openssl"
    key = signing_key(tmp_path)
    seal = seal_record(SESSION, 3, "ab" * 32, AT, key)
    (tmp_path / "signed").write_bytes(seal.signed_bytes())
    (tmp_path / "signature").write_bytes(bytes.fromhex(seal.signature))
    pem = key.public_key().public_bytes(Encoding.PEM, PublicFormat.SubjectPublicKeyInfo)
    (tmp_path / "public.pem").write_bytes(pem)
    check = [openssl, "pkeyutl", "-verify", "-pubin", "-inkey", "public.pem", "-rawin",
             "-in", "signed", "-sigfile", "signature"]  # fmt: skip
    assert subprocess.run(check, cwd=tmp_path, capture_output=True).returncode == 0
    (tmp_path / "signed").write_bytes(seal.signed_bytes() + b" ")
    assert subprocess.run(check, cwd=tmp_path, capture_output=True).returncode != 0


def test_the_key_is_kept_and_is_its_owners_alone(tmp_path: Path) -> None:
    first, again = signing_key(tmp_path / "keys"), signing_key(tmp_path / "keys")
    assert first.private_bytes_raw() == again.private_bytes_raw()
    assert (tmp_path / "keys" / "seal-key.pem").stat().st_mode & 0o077 == 0


def test_a_spoilt_key_is_not_replaced(tmp_path: Path) -> None:
    (tmp_path / "seal-key.pem").write_text("no key")
    with pytest.raises(JournalError, match="cannot be used"):
        signing_key(tmp_path)
    assert (tmp_path / "seal-key.pem").read_text() == "no key"


def test_a_seal_survives_being_put_away_as_a_file(tmp_path: Path) -> None:
    seal = seal_record(SESSION, 1, "cd" * 32, AT, signing_key(tmp_path))
    assert Seal.parse(seal.model_dump_json(indent=2)) == seal
