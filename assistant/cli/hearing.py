"""Puts the ear together: keyboard, audio file or microphone, and a recogniser."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from importlib.util import find_spec
from pathlib import Path

from assistant.audio.file_source import FileSource
from assistant.audio.hold import held_only
from assistant.audio.microphone import Gate
from assistant.audio.steady import SteadyMicrophone
from assistant.cli.attending import Attending
from assistant.cli.terminal import tell
from assistant.dialogue.context import Context
from assistant.fitting.adaptation.keeping import engine_file
from assistant.fitting.applying import fitted
from assistant.fitting.profile import Profile
from assistant.language import Language
from assistant.models.places import best_installed
from assistant.resources import data_folder
from assistant.session.edges import Ear
from assistant.session.keyboard_ear import KeyboardEar
from assistant.session.speech_ear import SpeechEar
from assistant.speech.choice import choose_engine
from assistant.speech.endpoint import heard_or_quiet
from assistant.speech.errors import SpeechError
from assistant.speech.heap import give_large_blocks_back
from assistant.speech.loaded_beside import LoadedBeside
from assistant.speech.two_listeners import TwoListeners
from assistant.speech.types import Engine
from assistant.speech.whisper_engine import WhisperEngine, must_be_there

HearingError = SpeechError


@dataclass(frozen=True)
class Hearing:
    """What the command line asked to hear with."""

    audio: Path | None = None
    keyboard: bool = False
    engine: str = "auto"
    second: str = "auto"
    device: str | None = None
    attending: Attending = field(default_factory=Attending)
    profile: Profile | None = None


def open_ear(
    asked: Hearing,
    context: Context,
    gate: Gate,
    called: Callable[[], None] = lambda: None,
    watched: Callable[[SteadyMicrophone], None] = lambda microphone: None,
) -> Ear:
    """Open the ear that was asked for; ``called`` is carried out at the attention phrase.

    ``watched`` is given the microphone, where there is one.

    Raises:
        SpeechError: the file, the microphone or the recogniser cannot be had; one sentence.
    """
    if asked.keyboard:
        return KeyboardEar(sys.stdin)
    language = context.language
    assert isinstance(language, Language)
    tag = context.procedure.language
    profile = asked.profile
    suits = profile is not None and profile.language == tag
    with engine_file(profile.adaptation if profile is not None and suits else None) as adaptation:
        heard_by = open_engine(asked, tag, language, adaptation)
    if profile is not None:
        heard_by, told = fitted(heard_by, profile, tag, language, adaptation is not None)
        tell(told)
    if asked.audio is not None:
        blocks = FileSource(asked.audio).blocks()
    else:
        microphone = SteadyMicrophone(device=asked.device, gate=gate)
        watched(microphone)
        blocks = microphone.blocks()
    if asked.attending.pedal is not None:
        blocks = held_only(blocks, asked.attending.pedal)
    ear = SpeechEar(heard_by, language, heard_or_quiet(blocks))
    return asked.attending.ear(ear, language, called)


def open_engine(
    asked: Hearing,
    tag: str,
    language: Language,
    adaptation: Path | None = None,
    tell: Callable[[str], None] = tell,
) -> Engine:
    """The recogniser that was asked for, for the language ``tag``; tells which it is.

    ``adaptation``: a speaker's transform of the bundled acoustic model; read while opening.

    Raises:
        SpeechError: it cannot be had.
    """
    chosen = choose_engine(
        tag,
        forced=None if asked.engine == "auto" else asked.engine,
        lexicon=data_folder("grammars") / tag / "lexicon.dict",
        adaptation=adaptation,
    )
    tell(chosen.why)
    second = asked.second if tag.startswith("en") else "none"
    engine = _with_second(chosen.engine, second, language, tell)
    if engine is chosen.engine:
        give_large_blocks_back()
    return engine


def _with_second(
    first: Engine, asked: str, language: Language, tell: Callable[[str], None]
) -> Engine:
    """``first`` with a second listener beside it, where one is asked for or found.

    Its model is read while the session begins; one that is damaged is told of by the first
    grammar or utterance after that.

    Raises:
        SpeechError: the one asked for cannot be had.
    """
    if asked == "none":
        return first
    if asked == "auto":
        place = best_installed("whisper")
        if place is None or find_spec("faster_whisper") is None:
            return first
    else:
        place = Path(asked)
    must_be_there(place)
    second = LoadedBeside(WhisperEngine.name, lambda: WhisperEngine(place))
    tell(f"Second listener: {place.name}. Where the two differ on a value, you are asked.")
    return TwoListeners(first, second, "weigh", language.pronunciations)
