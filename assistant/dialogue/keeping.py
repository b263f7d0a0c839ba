"""Notes and pictures: kept beside the work, told back at once, and taken back by "correction"."""

from __future__ import annotations

from datetime import datetime
from typing import assert_never

from assistant.dialogue.effects import FetchPicture
from assistant.dialogue.events import PictureFound, PictureMissed
from assistant.dialogue.facts import NoteTaken, NoteTakenBack, PictureAttached, PictureTakenBack
from assistant.dialogue.order import place_of
from assistant.dialogue.picture_file import PictureFile
from assistant.dialogue.state import KeptNote, KeptPicture
from assistant.dialogue.states import Noting
from assistant.dialogue.turn import Turn

_OLD_S = 3600  # a picture as old as this may well be another one than was meant
_LONGEST = 40  # characters of a file's name
_MINUTE, _HOUR, _DAY = 60, 3600, 86_400


def keep_note(turn: Turn, at: Noting, text: str, clip: str | None, secs: float | None) -> None:
    """The note was spoken or typed: keep it, and let the builder hear how much was kept."""
    step = turn.state.step
    turn.record(NoteTaken(step=step, text=text, clip=clip, seconds=secs))
    turn.put(kept=KeptNote(step, clip))
    turn.go(at.back)
    turn.say("note_kept", length=say_length(turn, secs))


def say_length(turn: Turn, seconds: float | None) -> str:
    """How long a sound is, in words; empty for typed words."""
    if seconds is None:
        return ""
    whole = round(seconds)
    return turn.words("sound_seconds", count=max(1, whole))


def ask_picture(turn: Turn) -> None:
    """Have the newest picture fetched; the answer comes as an event of its own."""
    pictures = turn.state.pictures
    last = max(pictures.values(), key=datetime.fromisoformat, default="")
    turn.effects.append(FetchPicture(turn.state.step, tuple(pictures), last))


def attach(turn: Turn, event: PictureFound) -> None:
    """A picture was found and stored: it belongs to its step until it is taken back."""
    turn.record(PictureAttached(**{f: getattr(event, f) for f in PictureFile.model_fields}))
    turn.put(
        pictures={**turn.state.pictures, event.file: event.taken},
        pictured={**turn.state.pictured, event.file: event.step or ""},
        kept=KeptPicture(event.step, event.file),
    )
    age = (datetime.fromisoformat(turn.at) - datetime.fromisoformat(event.taken)).total_seconds()
    turn.say(
        "picture_attached",
        tone="caution" if age >= _OLD_S else "readback",
        about=event.file,
        name=_short(event.name),
        age=say_age(turn, age),
        place=_place(turn, event.step),
    )


def miss(turn: Turn, event: PictureMissed) -> None:
    """There is no picture to attach: say why; nothing has changed."""
    turn.say("picture_" + event.why, tone="ask", name=_short(event.name), detail=event.detail)


def take_back(turn: Turn) -> None:
    """The note or picture kept last no longer counts; it stays in the journal."""
    kept = turn.state.kept
    match kept:
        case KeptNote(step=step, clip=clip):
            turn.record(NoteTakenBack(step=step, clip=clip))
            turn.say("note_taken_back")
        case KeptPicture(step=step, file=file):
            turn.record(PictureTakenBack(step=step, file=file))
            turn.not_owed(file)
            left = {f: at for f, at in turn.state.pictures.items() if f != file}
            turn.put(
                pictures=left,
                pictured={f: s for f, s in turn.state.pictured.items() if f != file},
            )
            turn.say("picture_taken_back", place=_place(turn, step))
        case None:
            pass
        case _:
            assert_never(kept)
    turn.put(kept=None)


def _short(name: str) -> str:
    """A file's name that can be listened to: the middle of a very long one is left out."""
    return (
        name if len(name) <= _LONGEST else f"{name[: _LONGEST // 2]} ... {name[-_LONGEST // 2 :]}"
    )


def _place(turn: Turn, step_id: str | None) -> str:
    if step_id is None:
        return turn.words("picture_of_job")
    procedure = turn.context.procedure
    number = place_of(procedure, turn.state, procedure.step(step_id))
    return turn.words("picture_of_step", number=number)


def say_age(turn: Turn, seconds: float) -> str:
    """How long ago something was, in words; negative ``seconds`` lie ahead."""
    if seconds < -_MINUTE:
        return turn.words("age_ahead")
    if seconds < _MINUTE:
        return turn.words("age_now")
    for size, key, most in ((_MINUTE, "minute", 90), (_HOUR, "hour", 36), (_DAY, "day", None)):
        count = int(seconds // size)
        if most is None or count < most:
            return turn.words(f"age_{key}s", count=count)
    raise AssertionError  # the last one has no end
