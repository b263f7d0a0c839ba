"""Where the store lies."""

from __future__ import annotations

from assistant.journal.location import store_url


def test_files_and_urls() -> None:
    assert store_url("/a/records.db").database == "/a/records.db"
    assert store_url("postgresql://me@host/kb2").drivername == "postgresql+psycopg"
