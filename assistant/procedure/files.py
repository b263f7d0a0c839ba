"""Where procedure files are."""

from __future__ import annotations

from pathlib import Path

from assistant.folders import user_data
from assistant.resources import data_folder


def user_folder() -> Path:
    """Where a workshop keeps its own procedures: ``procedures`` in the user's data folder."""
    return user_data("procedures")


def find_procedures() -> list[Path]:
    """Procedure files, shipped ones first, then those of the workshop's own folder."""
    found: list[Path] = []
    for folder in (data_folder("procedures"), user_folder()):
        if folder.is_dir():
            files = (p for p in folder.iterdir() if p.suffix in (".yaml", ".yml") and p.is_file())
            found += sorted(files)
    return found
