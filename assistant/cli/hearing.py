"""Puts the ear together: keyboard, audio file or microphone, and a recogniser."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import typer

from assistant.audio.file_source import FileSource
from assistant.audio.gate import HalfDuplexGate
from assistant.audio.microphone import Microphone
from assistant.dialogue.context import Context
from assistant.language import Language
from assistant.resources import data_folder
from assistant.session.edges import Ear
from assistant.session.keyboard_ear import KeyboardEar
from assistant.session.speech_ear import SpeechEar
from assistant.speech.choice import choose_engine
from assistant.speech.endpoint import heard_or_quiet
from assistant.speech.errors import SpeechError

HearingError = SpeechError


@dataclass(frozen=True)
class Hearing:
    """What the command line asked to hear with."""

    audio: Path | None = None
    keyboard: bool = False
    engine: str = "auto"
    device: str | None = None


def open_ear(asked: Hearing, context: Context, gate: HalfDuplexGate) -> Ear:
    """Open the ear that was asked for.

    Raises:
        SpeechError: the file, the microphone or the recogniser cannot be had; one sentence.
    """
    if asked.keyboard:
        return KeyboardEar(sys.stdin)
    language = context.language
    assert isinstance(language, Language)
    lexicon = data_folder("grammars") / context.procedure.language / "lexicon.dict"
    chosen = choose_engine(
        context.procedure.language,
        forced=None if asked.engine == "auto" else asked.engine,
        lexicon=lexicon,
    )
    typer.echo(chosen.why)
    if asked.audio is not None:
        blocks = FileSource(asked.audio).blocks()
    else:
        blocks = Microphone(device=asked.device, gate=gate).blocks()
    return SpeechEar(chosen.engine, language, heard_or_quiet(blocks))
