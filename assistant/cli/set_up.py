"""Sets a session up at the bench: its screens, its voice, its speech input and its store."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from assistant.board.starting import start_board
from assistant.board.together import ScreensTogether
from assistant.cli.attending import Attending, attending
from assistant.cli.hearing import Hearing, open_input
from assistant.cli.interrupting import duplex_for, gate_of, interrupted_by
from assistant.cli.screen import TerminalScreen
from assistant.cli.session_options import SessionOptions
from assistant.cli.speaking import open_voice, voice_output
from assistant.cli.talk_settings import TalkKeeper
from assistant.cli.terminal import tell
from assistant.cli.voice_profile import profile_for
from assistant.cli.workplace import AskedError, Store
from assistant.dialogue.context import Context
from assistant.journal.buffered import BufferedJournal
from assistant.session.clock import Clock
from assistant.session.edges import Screen, SpeechInput
from assistant.session.foreseeing_screen import ForeseeingScreen
from assistant.session.news import NewsStream
from assistant.session.picture_folder import PictureFolder
from assistant.session.session import Session
from assistant.session.surroundings import SessionEdges, SessionStore
from assistant.session.voice_output import VoiceOutput
from assistant.voice.played_voice import PlayedVoice


@dataclass(frozen=True)
class Job:
    """Session ``id`` of ``builder`` and what it works with."""

    id: str
    context: Context
    kept: Store
    clock: Clock
    builder: str


@dataclass(frozen=True)
class Ready:
    """A session that can begin: ``when`` says when ``source`` listens."""

    session: Session
    source: SpeechInput
    when: Attending


@contextmanager
def set_up(asked: SessionOptions, job: Job) -> Iterator[Ready]:
    """The session of ``job``, with all that was asked for open.

    Raises:
        AskedError, BoardError, SpeechError: something asked for is not available; one sentence.
    """
    context = job.context
    with (
        _shown(context, asked.board) as shown,
        attending(asked.attend, asked.pedal, asked.keyboard) as when,
    ):
        duplex = duplex_for(asked.interruptible, asked.keyboard or asked.audio is not None, when)
        output = voice_output(open_voice(asked.voice, context.procedure.language, duplex), duplex)
        output.play_from(job.kept.clips.sound)
        news = _news(job.kept, output)
        screens = ScreensTogether(_foreseeing(context, output, shown), TalkKeeper(job.builder))
        edges = SessionEdges(output, screens, job.clock, news)
        session = Session(job.id, context, store=_store(job.kept, asked.pictures), edges=edges)
        profile = profile_for(job.builder, asked.no_profile or asked.keyboard)
        hearing = Hearing(asked.audio, asked.keyboard, asked.engine, asked.device, when, profile)
        gate = gate_of(output)
        source = open_input(
            hearing,
            context,
            gate,
            lambda: output.chime("heard"),
            lambda microphone: news.of_microphone(microphone.news),
        )
        interrupted_by(source, gate, session, output, context)
        yield Ready(session, source, when)


def _news(kept: Store, output: VoiceOutput) -> NewsStream:
    news = NewsStream()
    news.of_voice(output.news)
    if isinstance(kept.journal, BufferedJournal):
        news.of_store(kept.journal.news)
    return news


def _foreseeing(context: Context, output: VoiceOutput, screen: Screen) -> Screen:
    """``screen``, and with it one that has the voice make its lines in advance, where it can."""
    if isinstance(output.voice, PlayedVoice):
        return ScreensTogether(screen, ForeseeingScreen(context, output.voice))
    return screen


def _store(kept: Store, pictures: Path | None) -> SessionStore:
    folder = None if pictures is None else PictureFolder(_folder(pictures), kept.pictures)
    return SessionStore(kept.journal, kept.clips, folder, kept.snapshots)


def _folder(pictures: Path) -> Path:
    if not pictures.is_dir():
        raise AskedError(f"'{pictures}' is not a folder; name the one that the pictures arrive in.")
    return pictures


@contextmanager
def _shown(context: Context, board: str | None) -> Iterator[Screen]:
    """The terminal, and the glance board too where one is asked for."""
    terminal = TerminalScreen(sys.stdout, context)
    if board is None:
        yield terminal
        return
    with start_board(context, "" if board == "here" else board) as served:
        tell(f"The board is at {served.url}")
        yield ScreensTogether(terminal, served.screen)
