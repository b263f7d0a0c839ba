"""How much a builder wants said aloud: kept on this machine from one job to the next."""

from __future__ import annotations

from pathlib import Path

from assistant.cli.terminal import tell
from assistant.dialogue.effects import Say
from assistant.dialogue.facts import Fact, TalkChanged
from assistant.dialogue.state import State
from assistant.dialogue.talk import LENGTHS, Talk
from assistant.fitting.profile_folder import profile_path
from assistant.folders import user_config
from assistant.input_file import read_whole
from assistant.output_file import write_whole
from assistant.session.edges import Sound

USUAL: Talk = "usual"


def kept_talk(builder: str) -> Talk:
    """What ``builder`` chose last; the usual length where nothing readable is kept."""
    try:
        text = read_whole(_path(builder), 20).decode().strip()
    except (OSError, ValueError):
        return USUAL
    return next((length for length in LENGTHS if length == text), USUAL)


def keep_talk(builder: str, talk: Talk) -> None:
    """Keep what ``builder`` chose, whole or not at all.

    Raises:
        OSError: the folder cannot be written to.
    """
    write_whole(_path(builder), f"{talk}\n".encode())


def _path(builder: str) -> Path:
    return profile_path(builder, user_config("talk")).with_suffix(".txt")


class TalkKeeper:
    """A screen that shows nothing: it keeps the length of speech that the builder chooses."""

    def __init__(self, builder: str) -> None:
        self._builder = builder

    def recorded(self, fact: Fact) -> None:
        """Keep a new choice; that it cannot be kept does not stop the work."""
        if isinstance(fact, TalkChanged):
            try:
                keep_talk(self._builder, fact.talk)
            except OSError as fault:
                tell(f"The length of speech is not kept for the next job ({fault.strerror}).")

    def heard(self, sound: Sound) -> None:
        """Nothing is kept of it."""

    def said(self, said: Say) -> None:
        """Nothing is kept of it."""

    def state(self, state: State) -> None:
        """Nothing is kept of it."""
