"""The trained model that comes with the program."""

from __future__ import annotations

from collections.abc import Mapping
from concurrent.futures import Future, ThreadPoolExecutor
from functools import lru_cache
from pathlib import Path

from assistant.language.pronouncing import Phones
from assistant.speech.ear.engine import EarEngine
from assistant.speech.ear.posteriors import PhoneModel

MODEL = Path(__file__).with_name("phones.onnx")
"""Where it is; its card, ``phones.json``, is in the same folder."""


@lru_cache(maxsize=1)
def load_ahead() -> Future[PhoneModel]:
    """Begin to load the model in a thread, so that it is there when :func:`load` needs it."""
    loading = ThreadPoolExecutor(1, "ear")
    model = loading.submit(PhoneModel, MODEL)
    loading.shutdown(wait=False)
    return model


def load(sounds: Mapping[str, tuple[Phones, ...]]) -> EarEngine:
    """The engine with the trained model and the pronunciations ``sounds`` of a language.

    Raises:
        SpeechError: the model is missing or damaged.
    """
    return EarEngine(load_ahead().result(), sounds)
