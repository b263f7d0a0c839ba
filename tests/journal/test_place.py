"""Where the store lies."""

from __future__ import annotations

from pathlib import Path

from assistant.journal.place import default_location, store_url


def test_the_own_variable_comes_first() -> None:
    found = default_location({"ASSEMBLY_ASSISTANT_DATA": "/srv/kb2", "XDG_DATA_HOME": "/x"})
    assert found == Path("/srv/kb2/records.db")


def test_the_xdg_base_directory_specification() -> None:
    """$XDG_DATA_HOME, or $HOME/.local/share when it is unset, empty or relative (version 0.8)."""
    home = Path.home() / ".local/share/assembly-assistant/records.db"
    assert default_location({"XDG_DATA_HOME": "/x"}) == Path("/x/assembly-assistant/records.db")
    for environment in ({}, {"XDG_DATA_HOME": ""}, {"XDG_DATA_HOME": "relative/share"}):
        assert default_location(environment) == home


def test_files_and_urls() -> None:
    assert store_url("/a/records.db").database == "/a/records.db"
    assert store_url("postgresql://me@host/kb2").drivername == "postgresql+psycopg"
