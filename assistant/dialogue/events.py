"""What can happen to a session. Events are its only input: the journal of them *is* the session.

Every event carries ``at``, the wall-clock instant as ISO 8601 with offset, and ``elapsed_ms``, the
machine's steady clock, both stamped by the adapter that saw it; the core itself never looks at a
clock.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from assistant.dialogue.picture_file import PictureFile
from assistant.dialogue.talk import Talk
from assistant.language.hypothesis import Recognition
from assistant.quantities.tools import Bench

Attention = Literal["always", "phrase", "held"]
"""When the assistant listened: always, after the attention phrase, or while a pedal was held."""


class Event(BaseModel):
    """Common to all events."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    at: str
    elapsed_ms: int | None = None  # within one run of the machine; None in older sessions


class Person(BaseModel):
    """Someone at the bench. ``initials`` (two or three letters) are how the voice knows them."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    name: str
    initials: Annotated[str, Field(pattern=r"^[A-Z]{2,3}$")]
    role: Literal["builder", "inspector"]


class LocalTime(BaseModel):
    """What the clock on the workshop's wall shows: minutes ahead of UTC.

    ``changes``: instants (ISO 8601) from which it is otherwise, as summer time begins or ends.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    minutes: int
    changes: tuple[tuple[str, int], ...] = ()


class Opened(Event):
    """A new session: who, and the whole procedure as it stood, so that the record needs no file.

    ``procedure`` is the JSON form of :class:`assistant.procedure.models.Procedure`.
    """

    kind: Literal["opened"] = "opened"
    job: str
    procedure_id: str
    procedure_revision: str
    procedure_sha256: str  # of the file's bytes
    procedure: dict[str, Any]
    people: tuple[Person, ...]
    language: str = "en-US"
    bench: Bench | None = None  # the tools on the bench, where an inventory is kept
    habit: Literal["inch", "metric"] | None = None  # how the builder thinks
    clock: Literal["wall", "demo"] = "wall"  # a demo clock runs waits off at once
    attention: Attention = "always"
    boot: str = ""  # names the machine's run that elapsed_ms counts in; empty in older sessions
    phrases_asked: bool = False  # where one sounds like another; older sessions did not ask
    procedure_path: str = ""  # where the procedure was read; empty in older sessions
    talk: Talk | None = None  # how much is said aloud; older sessions had no choice
    edition: int = 0  # of the dialogue's rules (``edition.EDITION``); 0 in older sessions
    local: LocalTime | None = None  # None: not known, as in older sessions


class Heard(Event):
    """An utterance went through the recogniser. ``clip`` names its stored audio, if kept."""

    kind: Literal["heard"] = "heard"
    recognition: Recognition
    clip: str | None = None
    seconds: float | None = None  # how long the sound is; None where it was typed


class TimerElapsed(Event):
    """The wait started by step ``step`` is over."""

    kind: Literal["timer_elapsed"] = "timer_elapsed"
    step: str


class Revised(BaseModel):
    """The procedure's file as it is now, where it is not what the session began with.

    ``changed`` are ids of steps that say something else now (or were moved), ``removed`` of those
    that are gone; ``added`` are titles of new ones. ``head``: something outside the steps differs.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    revision: str
    sha256: str  # of the file's bytes
    changed: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    head: bool = False


class Resumed(Event):
    """The session was resumed after the process ended, perhaps at another bench."""

    kind: Literal["resumed"] = "resumed"
    bench: Bench | None = None
    revised: Revised | None = None
    attention: Attention = "always"
    boot: str = ""  # as in Opened
    local: LocalTime | None = None


class PictureFound(Event, PictureFile):
    """A picture was copied to the store for the step at which it was asked for."""

    kind: Literal["picture_found"] = "picture_found"


PictureTrouble = Literal[
    "no_folder", "folder_gone", "none", "none_new", "too_large", "unreadable", "unfinished",
    "not_stored",
]  # fmt: skip


class PictureMissed(Event):
    """There is no picture to attach: why, with the file's name where there is one, and a detail."""

    kind: Literal["picture_missed"] = "picture_missed"
    step: str | None
    why: PictureTrouble
    name: str = ""
    detail: str = ""


class EquipmentChanged(Event):
    """Microphone, voice or store failed or came back; ``detail`` is a sentence.

    ``what`` happened to a microphone: lost, back, overrun, clipped, moved; empty in older sessions.
    """

    kind: Literal["equipment_changed"] = "equipment_changed"
    part: Literal["microphone", "voice", "store"]
    working: bool
    detail: str
    what: str = ""


class Unsaid(BaseModel):
    """A line that was not said to its end; ``about`` and ``sound`` are those of :class:`Say`."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    text: str
    tone: Literal["plain", "caution", "readback", "ask"] = "plain"
    about: str = ""
    sound: str = ""


class SoundMissed(Event):
    """A recording that a line ends with could not be played: it is not there, or nothing plays."""

    kind: Literal["sound_missed"] = "sound_missed"
    clip: str


class SpeechCut(Event):
    """The builder interrupted: ``unsaid`` was cut short (the first line) or not begun (the rest).

    What was heard follows as an event of its own.
    """

    kind: Literal["speech_cut"] = "speech_cut"
    unsaid: tuple[Unsaid, ...]


AnyEvent = Annotated[
    Opened
    | Heard
    | TimerElapsed
    | Resumed
    | EquipmentChanged
    | PictureFound
    | PictureMissed
    | SoundMissed
    | SpeechCut,
    Field(discriminator="kind"),
]
