"""Chooses the recogniser: the better engine where its model is installed, else the bundled one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from assistant.language import Language
from assistant.speech.ear import shipped as ear
from assistant.speech.ear.engine import EarEngine
from assistant.speech.errors import SpeechError
from assistant.speech.lexicon import Pronunciations
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine
from assistant.speech.types import Engine
from assistant.speech.vosk_engine import VoskEngine
from assistant.speech.vosk_models import find_vosk_model, no_model

ENGINE_NAMES = (VoskEngine.name, PocketSphinxEngine.name, EarEngine.name)


@dataclass(frozen=True)
class Choice:
    """An engine ready for use, and one sentence that says which it is and why."""

    engine: Engine
    why: str


def choose_engine(
    language: str,
    forced: str | None = None,
    lexicon: Path | Pronunciations | None = None,
    adaptation: Path | None = None,
) -> Choice:
    """Vosk when a model for ``language`` is installed, else PocketSphinx; or the one ``forced``.

    ``adaptation``: a speaker's mean transforms, for PocketSphinx alone.

    Raises:
        SpeechError: the forced engine is unknown or has no model, or no engine has the language.
    """
    if forced is not None and forced not in ENGINE_NAMES:
        raise SpeechError(
            f"There is no engine '{forced}'; choose one of: {', '.join(ENGINE_NAMES)}."
        )
    if forced == EarEngine.name:
        return Choice(_ear(language), "Listening with the phone model: it was asked for.")
    if forced != PocketSphinxEngine.name:
        model = find_vosk_model(language)
        if model is not None:
            asked = "it was asked for" if forced else f"a model for {language} is installed"
            # Whole phrases were measured with Korean only, whose commands share few words.
            engine = VoskEngine(model, whole_phrases=not _english(language))
            return Choice(engine, f"Listening with Vosk ({model.name}): {asked}.")
        if forced is not None:
            raise SpeechError(no_model(language))
    if not _english(language):
        raise SpeechError(f"PocketSphinx hears English only. {no_model(language)}")
    known = lexicon if not isinstance(lexicon, Path) or lexicon.is_file() else None
    reason = "it was asked for" if forced else f"no Vosk model for {language} is installed"
    return Choice(PocketSphinxEngine(known, adaptation), f"Listening with PocketSphinx: {reason}.")


def _ear(language: str) -> Engine:
    if not _english(language):
        raise SpeechError(f"The phone model hears English only. {no_model(language)}")
    return ear.load(Language.load(language).pronunciations)


def _english(language: str) -> bool:
    return language.lower().startswith("en")
