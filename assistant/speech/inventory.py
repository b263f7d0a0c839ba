"""Which recognisers there are, and what to do about what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.metadata import version

from assistant.speech.choice import english
from assistant.speech.ear.engine import EarEngine
from assistant.speech.errors import SpeechError
from assistant.speech.vosk_models import find_vosk_model, no_model


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
