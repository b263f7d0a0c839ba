"""Where models lie on this machine."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

from assistant.models.catalogue import Model, catalogue


def models_folder(environment: Mapping[str, str] | None = None) -> Path:
    """``models`` in the user's data folder: ``ASSEMBLY_ASSISTANT_DATA``, else the XDG data home."""
    environment = os.environ if environment is None else environment
    own = environment.get("ASSEMBLY_ASSISTANT_DATA", "")
    if own:
        return Path(own).expanduser() / "models"
    xdg = Path(environment.get("XDG_DATA_HOME", ""))
    home = xdg if xdg.is_absolute() else Path.home() / ".local" / "share"
    return home / "assembly-assistant" / "models"


def installed(model: Model, folder: Path | None = None) -> Path | None:
    """The folder of ``model`` when it is installed, else None.

    Files were checked against their digests before they came to lie there, so only their
    presence is looked at here.
    """
    place = (folder or models_folder()) / model.name
    if not place.is_dir() or not all((place / name).is_file() for name in model.files):
        return None
    return place


def best_installed(engine: str, folder: Path | None = None) -> Path | None:
    """The first installed model for ``engine`` in the catalogue's order, best first, or None."""
    for model in catalogue().values():
        place = installed(model, folder) if model.engine == engine else None
        if place is not None:
            return place
    return None
