"""The last thing that went into the record, in a few words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import assert_never, cast

from assistant.board.kinds import recording
from assistant.board.words import BoardWords
from assistant.dialogue.facts import (
    Acknowledged,
    Adjusted,
    ConditionChosen,
    DispositionDropped,
    DispositionRecorded,
    Fact,
    ListeningPaused,
    ManualChecked,
    NoteTaken,
    NoteTakenBack,
    PictureAttached,
    PictureTakenBack,
    RevisionNoticed,
    SharedFact,
    StepDone,
    StepOpened,
    StepReopened,
    TalkChanged,
    ToolChecked,
    WorkFinished,
    WorkStopped,
)


def recorded_text(facts: Sequence[Fact], words: BoardWords) -> str:
    """The latest of ``facts`` that a builder would look for; empty when there is none."""
    for fact in reversed(facts):
        kind = recording(fact)
        if kind is None:
            text = _shared(cast(SharedFact, fact), words)
        else:
            text = kind.recorded(fact, words)
        if text:
            return text
    return ""


def _shared(fact: SharedFact, words: BoardWords) -> str:
    match fact:
        case DispositionRecorded(released_by=str() as person):
            name = words("disposition_" + fact.disposition)
            return words("record_disposition", disposition=name, person=person)
        case Adjusted(number=number):
            return words("record_adjusted", number=str(number))
        case NoteTaken():
            return words("record_note")
        case PictureAttached(name=name):
            return words("record_picture", name=name)
        case NoteTakenBack():
            return words("record_void", what=words("record_note_name"))
        case PictureTakenBack():
            return words("record_void", what=words("record_picture_name"))
        case (
            ManualChecked() | ConditionChosen() | StepOpened() | StepDone() | StepReopened()
            | Acknowledged() | ToolChecked() | DispositionRecorded() | DispositionDropped()
            | RevisionNoticed() | ListeningPaused() | TalkChanged() | WorkStopped() | WorkFinished()
        ):  # fmt: skip
            return ""
        case _:
            assert_never(fact)
