"""Where the models of the Vosk recogniser are on this machine."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path

from assistant.folders import user_data
from assistant.speech.errors import SpeechError

MODEL_VARIABLE = "ASSEMBLY_ASSISTANT_VOSK_MODEL"
"""Environment variable that names a model folder; it outranks every other place."""


def model_places() -> tuple[Path, ...]:
    """Folders that may hold model folders, the user's own first."""
    return (
        user_data("models"),
        Path.home() / ".cache" / "vosk",
        Path("/usr/local/share/vosk"),
        Path("/usr/share/vosk"),
    )


def find_vosk_model(language: str) -> Path | None:
    """The folder of a model for ``language`` (such as en-US or ko), or None.

    Looked for in the environment variable, the places above, and installed packages that carry a
    model as data. For one language the name sorted last wins, so a newer version over an older.

    Raises:
        SpeechError: the environment variable names a folder that holds no model.
    """
    named = os.environ.get(MODEL_VARIABLE)
    if named:
        if not is_model(Path(named)):
            raise SpeechError(
                f"{MODEL_VARIABLE} names {named}, which holds no Vosk model; unpack one there or "
                "clear the variable."
            )
        return Path(named)
    for folder in (*_candidates(language), *_packaged(language)):
        if is_model(folder):
            return folder
    return None


def no_model(language: str) -> str:
    """One sentence for when there is none."""
    return (
        f"No Vosk model for {language} is installed; unpack one into {model_places()[0]}, or set "
        f"{MODEL_VARIABLE} to its folder."
    )


def _candidates(language: str) -> Iterator[Path]:
    for place in model_places():
        if place.is_dir():
            named = (p for p in place.iterdir() if p.is_dir() and _names(p.name, language))
            yield from sorted(named, reverse=True)


def _names(folder: str, language: str) -> bool:
    """True when the folder's name carries the language: ``…-en-us-…`` or ``…-en-…`` for en-US."""
    parts = re.split(r"[-_.]", folder.lower())
    wanted = language.lower().split("-")
    if wanted[0] not in parts:
        return False
    after = parts[parts.index(wanted[0]) + 1 :][:1]
    another_region = len(wanted) > 1 and after and re.fullmatch(r"[a-z]{2}", after[0])
    return not another_region or after == wanted[1:2]


def _packaged(language: str) -> Iterator[Path]:
    spec = find_spec(f"vosk_model_{language.lower().split('-')[0]}")
    for location in (spec.submodule_search_locations or ()) if spec else ():
        yield Path(location) / "model"


def is_model(folder: Path) -> bool:
    """True when ``folder`` holds a Vosk model."""
    return any((folder / part).is_file() for part in ("am/final.mdl", "final.mdl"))
