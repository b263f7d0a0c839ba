"""Which recognisers and voices there are, and what to do about what is missing."""

from __future__ import annotations

import shutil
from dataclasses import dataclass
from importlib.metadata import version

from assistant.speech.choice import Choice, choose_engine, english
from assistant.speech.ear.engine import EarEngine
from assistant.speech.errors import SpeechError
from assistant.speech.espeak import find_espeak
from assistant.speech.vosk_models import find_vosk_model, no_model

__all__ = [
    "Choice",
    "InventoryItem",
    "choose_engine",
    "engines_found",
    "voices_found",
]


@dataclass(frozen=True)
class InventoryItem:
    """One thing looked for: whether it is there, details when it is, a remedy when it is not."""

    name: str
    present: bool
    detail: str = ""
    remedy: str = ""


def engines_found(language: str = "en-US") -> list[InventoryItem]:
    """The recognisers, whether each can listen for ``language``."""
    own = InventoryItem(
        EarEngine.name,
        english(language),
        "the program's own, English" if english(language) else "",
        "" if english(language) else "The program's own model is English; use a Vosk model.",
    )
    try:
        model = find_vosk_model(language)
    except SpeechError as fault:
        return [own, InventoryItem("vosk", False, remedy=str(fault))]
    if model is None:
        return [own, InventoryItem("vosk", False, remedy=no_model(language))]
    return [own, InventoryItem("vosk", True, f"version {version('vosk')}, model {model}")]


def voices_found() -> list[InventoryItem]:
    """The synthesiser that speaks, and those that make recorded sessions."""
    return [
        _espeak(),
        _command("flite", "flite", "only needed to make recorded sessions"),
        _command("text2wave", "festival", "only needed to make recorded sessions"),
    ]


def _espeak() -> InventoryItem:
    try:
        return InventoryItem("espeak-ng", True, find_espeak().identity)
    except SpeechError as fault:
        return InventoryItem("espeak-ng", False, remedy=str(fault))


def _command(command: str, package: str, why: str) -> InventoryItem:
    where = shutil.which(command)
    if where is None:
        remedy = f"Install it ({why}); on Debian and Ubuntu: apt-get install {package}."
        return InventoryItem(package, False, remedy=remedy)
    return InventoryItem(package, True, where)
