"""Where voice profiles lie on this machine."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from unicodedata import normalize


def profiles_folder(environment: Mapping[str, str] | None = None) -> Path:
    """``voices`` in the user's config folder.

    The config folder is ``ASSEMBLY_ASSISTANT_CONFIG`` where that is set, else
    ``assembly-assistant`` in the config home of the XDG Base Directory specification (a relative
    ``XDG_CONFIG_HOME`` is ignored, as that asks for).
    """
    environment = os.environ if environment is None else environment
    own = environment.get("ASSEMBLY_ASSISTANT_CONFIG", "")
    if own:
        return Path(own).expanduser() / "voices"
    xdg = Path(environment.get("XDG_CONFIG_HOME", ""))
    home = xdg if xdg.is_absolute() else Path.home() / ".config"
    return home / "assembly-assistant" / "voices"


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
