"""The user's own folders, each asked for here and nowhere else.

They are where the system wants them: on Linux as the XDG Base Directory Specification says
(``~/.local/share``, ``~/.config``, ``~/.cache``, or where its variables point), on Windows and
macOS in their own places. ``ASSEMBLY_ASSISTANT_DATA`` and ``ASSEMBLY_ASSISTANT_CONFIG`` name other
folders for data and settings on any system; then all data are there, models and procedures too.
"""

from __future__ import annotations

import os
from pathlib import Path

from platformdirs import PlatformDirs

DATA_VARIABLE = "ASSEMBLY_ASSISTANT_DATA"
CONFIG_VARIABLE = "ASSEMBLY_ASSISTANT_CONFIG"
_SYSTEM = PlatformDirs("assembly-assistant", appauthor=False)


def user_data(name: str = "") -> Path:
    """The folder of records, sounds, models and the workshop's procedures, or ``name`` in it."""
    return _own(DATA_VARIABLE, Path(_SYSTEM.user_data_dir)) / name


def user_config(name: str = "") -> Path:
    """The folder of settings and voice profiles, or ``name`` in it."""
    return _own(CONFIG_VARIABLE, Path(_SYSTEM.user_config_dir)) / name


def user_cache(name: str = "") -> Path:
    """The folder of what may be deleted at any time, or ``name`` in it."""
    return Path(_SYSTEM.user_cache_dir) / name


def _own(variable: str, usual: Path) -> Path:
    named = os.environ.get(variable, "")
    return Path(named).expanduser() if named else usual
