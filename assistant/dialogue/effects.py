"""What the core asks of the world. Adapters carry these out; none of them decides anything."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, get_args

from assistant.dialogue.facts import Fact
from assistant.language.tone import Tone

ASKED = "what was asked"
"""What the readback of an answer is about: a revision, a choice, a spelled number, a name."""


TORQUE = "the torque that is set"
"""What an announcement of a torque is about: the next one takes its place."""

TOOL = "the tool in hand"
"""What is said of the tools of a bench is about; another bench has others."""


def about(step: str, position: str) -> str:
    """What the readback of the value at ``position`` of ``step`` is about."""
    return f"{step}/{position}"


@dataclass(frozen=True)
class Say:
    """Speak ``text`` and show it. ``tone`` lets voices and screens set cautions apart.

    ``shown`` is what is shown, and said by "repeat that", where that is more than ``text``; where
    ``text`` is empty nothing is spoken.

    ``about`` names what a readback reads back, so that a readback that was cut short is dropped
    when that very thing is taken back, and for nothing else.

    ``sound`` is the id of a recording that follows the words: a reason in the voice of the one who
    gave it. It belongs to the line: what cuts the recording cuts the line.
    """

    text: str
    tone: Tone = "plain"
    about: str = ""
    sound: str = ""
    shown: str = ""

    @property
    def whole(self) -> str:
        """All of it, as it is shown: with a capital at its beginning."""
        whole = self.shown or self.text
        return whole[:1].upper() + whole[1:]

    def __post_init__(self) -> None:
        """A line of no known tone would not be owed when it is cut short.

        Raises:
            ValueError: there is no such tone.
        """
        if self.tone not in get_args(Tone):
            raise ValueError(f"A line has no tone {self.tone!r}.")


ChimeName = Literal["heard", "again", "ready"]


@dataclass(frozen=True)
class Chime:
    """A short sound: ``heard`` (understood), ``again`` (say it again), ``ready`` (your turn)."""

    which: ChimeName


@dataclass(frozen=True)
class Record:
    """Store ``fact`` durably, in the same transaction as the event that caused it."""

    fact: Fact


@dataclass(frozen=True)
class StartTimer:
    """Send ``TimerElapsed(step)`` at instant ``until`` (ISO 8601)."""

    step: str
    until: str


@dataclass(frozen=True)
class AdjustVoice:
    """Change ``rate`` or ``volume`` by ``steps`` (negative: slower, quieter)."""

    what: Literal["rate", "volume"]
    steps: int


@dataclass(frozen=True)
class FetchPicture:
    """Copy the newest picture of the watched folder and send ``PictureFound`` or ``PictureMissed``.

    A picture counts as new when its content is not in ``known`` (SHA-256) and its time is not
    before ``not_before`` (ISO 8601; empty: any).
    """

    step: str | None
    known: tuple[str, ...] = ()
    not_before: str = ""


@dataclass(frozen=True)
class EndSession:
    """Leave the loop: ``stopped`` can be resumed, ``finished`` cannot."""

    how: Literal["stopped", "finished"]


Effect = Say | Chime | Record | StartTimer | AdjustVoice | FetchPicture | EndSession
