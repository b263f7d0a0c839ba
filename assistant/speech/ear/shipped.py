"""The trained model that comes with the program."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from assistant.language.pronouncing import Phones
from assistant.speech.ear.engine import EarEngine
from assistant.speech.ear.posteriors import PhoneModel

MODEL = Path(__file__).with_name("phones.onnx")
"""Where it is; its card, ``phones.json``, is in the same folder."""


def load(sounds: Mapping[str, tuple[Phones, ...]], model: Path = MODEL) -> EarEngine:
    """The engine with the trained model and the pronunciations ``sounds`` of a language.

    Raises:
        SpeechError: the model is missing or damaged.
    """
    return EarEngine(PhoneModel(model), sounds)
