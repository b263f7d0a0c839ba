"""Sets a session up at the bench: its screens, its voice, its ear and where it keeps things."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from assistant.audio.duplex import DuplexLoudspeaker
from assistant.board.starting import start_board
from assistant.board.together import ScreensTogether
from assistant.cli.attending import Attending, attending
from assistant.cli.hearing import Hearing, open_ear
from assistant.cli.interrupting import duplex_for, gate_of, interrupted_by
from assistant.cli.screen import TerminalScreen
from assistant.cli.speaking import open_voice, voice_output
from assistant.cli.terminal import tell
from assistant.cli.voice_profile import profile_for
from assistant.cli.workplace import AskedError, Store
from assistant.dialogue.context import Context
from assistant.journal.buffered import BufferedJournal
from assistant.session.clock import Clock
from assistant.session.edges import Screen, SpeechInput
from assistant.session.foreseeing_screen import ForeseeingScreen
from assistant.session.picture_folder import PictureFolder
from assistant.session.session import Session
from assistant.session.voice_output import VoiceOutput
from assistant.speech.played_voice import PlayedVoice


@dataclass(frozen=True)
class SessionOptions:
    """What the command line asked for to build with; as the options of ``run``."""

    audio: Path | None
    keyboard: bool
    engine: str
    device: str | None
    attend: str
    pedal: str | None
    no_profile: bool
    interruptible: bool
    voice: str
    board: str | None
    pictures: Path | None


@dataclass(frozen=True)
class Ready:
    """A session that can begin: ``when`` tells when ``ear`` listens."""

    session: Session
    ear: SpeechInput
    when: Attending


@contextmanager
def set_up(
    asked: SessionOptions, name: str, context: Context, kept: Store, clock: Clock, builder: str
) -> Iterator[Ready]:
    """Session ``name`` of ``builder``, with all that was asked for open.

    Raises:
        AskedError, BoardError, SpeechError: something asked for cannot be had; one sentence.
    """
    with (
        _shown(context, asked.board) as screen,
        attending(asked.attend, asked.pedal, asked.keyboard) as when,
    ):
        duplex = duplex_for(asked.interruptible, asked.keyboard or asked.audio is not None, when)
        session, mouth = _session(asked, name, context, kept, clock, screen, duplex)
        profile = profile_for(builder, asked.no_profile or asked.keyboard)
        hearing = Hearing(asked.audio, asked.keyboard, asked.engine, asked.device, when, profile)
        gate = gate_of(mouth)
        ear = open_ear(
            hearing,
            context,
            gate,
            lambda: mouth.chime("heard"),
            lambda microphone: session.watch(microphone.news),
        )
        interrupted_by(ear, gate, session, mouth, context)
        yield Ready(session, ear, when)


def _session(
    asked: SessionOptions,
    name: str,
    context: Context,
    kept: Store,
    clock: Clock,
    screen: Screen,
    duplex: DuplexLoudspeaker | None,
) -> tuple[Session, VoiceOutput]:
    voice = open_voice(asked.voice, context.procedure.language, duplex)
    mouth = voice_output(voice, duplex)
    if isinstance(mouth.voice, PlayedVoice):
        screen = ScreensTogether(screen, ForeseeingScreen(context, mouth.voice))
    news = kept.journal.news if isinstance(kept.journal, BufferedJournal) else lambda: None
    pictures = asked.pictures
    folder = None if pictures is None else PictureFolder(_folder(pictures), kept.pictures)
    made = Session(
        name, context, kept.journal, mouth, screen, clock, kept.clips, news, folder, kept.snapshots
    )
    made.watch_voice(mouth.news)
    return made, mouth


def _folder(pictures: Path) -> Path:
    if not pictures.is_dir():
        raise AskedError(f"'{pictures}' is no folder; name the one that the pictures arrive in.")
    return pictures


@contextmanager
def _shown(context: Context, board: str | None) -> Iterator[Screen]:
    """The terminal, and the glance board beside it where one is asked for."""
    terminal = TerminalScreen(sys.stdout)
    if board is None:
        yield terminal
        return
    with start_board(context, "" if board == "here" else board) as served:
        tell(f"The board is at {served.url}")
        yield ScreensTogether(terminal, served.screen)
