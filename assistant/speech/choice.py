"""Chooses the recogniser: our own for English, Vosk where it is asked for or alone has a model."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from assistant.language import Language
from assistant.speech.ear import shipped as ear
from assistant.speech.ear.engine import EarEngine
from assistant.speech.errors import SpeechError
from assistant.speech.types import Engine
from assistant.speech.vosk_engine import VoskEngine
from assistant.speech.vosk_models import find_vosk_model, no_model


@dataclass(frozen=True)
class Choice:
    """An engine ready for use, and one sentence that says which it is and why."""

    engine: Engine
    why: str


def choose_engine(language: str, forced: str | None = None) -> Choice:
    """Our own engine for English, Vosk for any other language; or the one ``forced``.

    Raises:
        SpeechError: the forced engine is unknown or has no model, or no engine has the language.
    """
    if forced is not None and forced not in ENGINES:
        raise SpeechError(f"There is no engine '{forced}'; choose one of: {', '.join(ENGINES)}.")
    usual = EarEngine.name if english(language) else VoskEngine.name
    return ENGINES[forced or usual](language, forced is not None)


def load_ahead(language: str, forced: str | None = None) -> None:
    """Begin to load what :func:`choose_engine` will need, where that can be done meanwhile."""
    if english(language) and forced in (None, EarEngine.name):
        ear.load_ahead()


def english(language: str) -> bool:
    """Whether a language tag is of English."""
    return language.lower().startswith("en")


def _open_ear(language: str, _asked_for: bool) -> Choice:
    if not english(language):
        raise SpeechError(f"The engine 'ear' hears English only. {no_model(language)}")
    engine = ear.load(Language.load(language).pronunciations)
    return Choice(engine, "Listening with the program's own speech model.")


def _open_vosk(language: str, asked_for: bool) -> Choice:
    model = find_vosk_model(language)
    if model is None:
        raise SpeechError(no_model(language))
    # Whole phrases were measured with Korean only, whose commands share few words.
    engine = VoskEngine(model, whole_phrases=not english(language))
    why = "it was asked for" if asked_for else f"a model for {language} is installed"
    return Choice(engine, f"Listening with Vosk ({model.name}): {why}.")


ENGINES: Mapping[str, Callable[[str, bool], Choice]] = {
    EarEngine.name: _open_ear,
    VoskEngine.name: _open_vosk,
}
"""Every engine by its name; it is opened for a language, and told whether it was asked for."""
