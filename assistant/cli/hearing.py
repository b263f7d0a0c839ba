"""Opens the speech input: keyboard, audio file or microphone, and a recogniser."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from assistant.audio.file_source import FileSource
from assistant.audio.hold import held_only
from assistant.audio.microphone import Gate
from assistant.audio.reconnecting import ReconnectingMicrophone
from assistant.cli.attending import Attending
from assistant.cli.terminal import tell as show
from assistant.dialogue.context import Context
from assistant.fitting.applying import fitted
from assistant.fitting.profile import Profile
from assistant.session.edges import SpeechInput
from assistant.session.spoken_input import SpokenInput
from assistant.session.typed_input import TypedInput
from assistant.speech.choice import choose_engine
from assistant.speech.endpoint import heard_or_quiet
from assistant.speech.errors import SpeechError
from assistant.speech.heap import give_large_blocks_back
from assistant.speech.types import Engine

HearingError = SpeechError


@dataclass(frozen=True)
class Hearing:
    """What the command line asked to hear with."""

    audio: Path | None = None
    keyboard: bool = False
    engine: str = "auto"
    device: str | None = None
    attending: Attending = field(default_factory=Attending)
    profile: Profile | None = None


def open_input(
    asked: Hearing,
    context: Context,
    gate: Gate,
    called: Callable[[], None] = lambda: None,
    watched: Callable[[ReconnectingMicrophone], None] = lambda microphone: None,
) -> SpeechInput:
    """Open the speech input that was asked for; ``called`` runs at the attention phrase.

    ``watched`` is given the microphone, where there is one.

    Raises:
        SpeechError: the file, the microphone or the recogniser is not available; one sentence.
    """
    if asked.keyboard:
        return TypedInput(sys.stdin)
    language = context.language
    tag = context.procedure.language
    profile = asked.profile
    heard_by = open_engine(asked, tag)
    if profile is not None:
        heard_by, told = fitted(heard_by, profile, tag, language)
        show(told)
    if asked.audio is not None:
        blocks = FileSource(asked.audio).blocks()
    else:
        microphone = ReconnectingMicrophone(device=asked.device, gate=gate)
        watched(microphone)
        blocks = microphone.blocks()
    if asked.attending.pedal is not None:
        blocks = held_only(blocks, asked.attending.pedal)
    source = SpokenInput(heard_by, language, heard_or_quiet(blocks))
    return asked.attending.attentive(source, language, called)


def open_engine(asked: Hearing, tag: str, tell: Callable[[str], None] = show) -> Engine:
    """The recogniser that was asked for, for the language ``tag``; says which it is.

    Raises:
        SpeechError: it is not available.
    """
    chosen = choose_engine(tag, forced=None if asked.engine == "auto" else asked.engine)
    tell(chosen.why)
    give_large_blocks_back()
    return chosen.engine
