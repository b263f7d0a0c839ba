"""Where models are kept on this machine."""

from __future__ import annotations

from pathlib import Path

from assistant.folders import user_data
from assistant.models.catalogue import SpeechModel, catalogue


def models_folder() -> Path:
    """``models`` in the user's data folder: they are installed there and looked for there."""
    return user_data("models")


def installed(model: SpeechModel, folder: Path | None = None) -> Path | None:
    """The folder of ``model`` when it is installed, else None.

    Files were checked against their digests before they were put there, so only their
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
