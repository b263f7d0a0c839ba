"""Where voice profiles are kept on this machine."""

from __future__ import annotations

from pathlib import Path
from unicodedata import normalize

from assistant.folders import user_config


def profiles_folder() -> Path:
    """``voices`` in the user's config folder."""
    return user_config("voices")


def same_builder(one: str, other: str) -> bool:
    """Whether two names are one person's: letter case and spaces do not count."""
    return _plain(one) == _plain(other)


def profile_path(builder: str, folder: Path | None = None) -> Path:
    """The file of ``builder``'s profile. Two people never share one.

    Letters and digits of any script stand for themselves; anything else is written as its code,
    so that no name can point out of the folder.
    """
    safe = "".join(
        c if c.isalnum() else "-" if c == " " else f"_{ord(c):x}_" for c in _plain(builder)
    )
    return (folder or profiles_folder()) / f"{safe}.json"


def _plain(name: str) -> str:
    return " ".join(normalize("NFC", name).casefold().split())
