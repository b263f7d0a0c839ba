"""The last thing that went into the record, in a few words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import assert_never, cast

from assistant.board.figures import amount_text, indication_text
from assistant.board.words import BoardWords
from assistant.dialogue.facts import (
    Acknowledged,
    AnyFact,
    Chosen,
    ConditionChosen,
    DispositionDropped,
    DispositionRecorded,
    Fact,
    FastenerReopened,
    FastenerTightened,
    Identified,
    Inspected,
    ListeningPaused,
    ManualChecked,
    NoteTaken,
    NoteTakenBack,
    PictureAttached,
    PictureTakenBack,
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
    RevisionNoticed,
    ShimsChosen,
    StepDone,
    StepOpened,
    StepReopened,
    ToolChecked,
    TorqueAnnounced,
    ValueDerived,
    WaitOver,
    WaitStarted,
    WorkFinished,
    WorkStopped,
)


def recorded_text(facts: Sequence[Fact], words: BoardWords) -> str:
    """The latest of ``facts`` that a builder would look for; empty when there is none."""
    for fact in reversed(facts):
        text = _describe(cast(AnyFact, fact), words)
        if text:
            return text
    return ""


def _describe(fact: AnyFact, words: BoardWords) -> str:
    match fact:
        case ReadingConfirmed():
            text, sign = indication_text(fact.indication, fact.indication.amount.unit, words)
            return words(
                "record_reading",
                quantity=fact.quantity,
                position=f" {fact.position}" if fact.position else "",
                value=f"{text} {sign}".strip(),
                verdict=words("verdict_" + fact.judgement.verdict),
            )
        case ReadingSuperseded(position=position, step=step):
            return words("record_void", what=position or step.replace("_", " "))
        case ShimsChosen():
            return words(
                "record_shims",
                quantity=fact.quantity,
                result=amount_text(fact.shown or fact.result),
            )
        case FastenerTightened():
            return words(
                "record_fastener",
                label=fact.fastener,
                torque=amount_text(fact.torque),
                number=fact.pass_number,
            )
        case FastenerReopened(fastener=label):
            return words("record_void", what=label)
        case Identified():
            return words("record_identified", what=words("what_" + fact.what), text=fact.text)
        case DispositionRecorded(released_by=str() as person):
            name = words("disposition_" + fact.disposition)
            return words("record_disposition", disposition=name, person=person)
        case Inspected():
            key = "record_inspected_yes" if fact.accepted else "record_inspected_no"
            return words(key, person=fact.person)
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
            | Acknowledged() | ReadingOffered() | ValueDerived() | ToolChecked()
            | TorqueAnnounced() | Chosen() | WaitStarted() | WaitOver()
            | DispositionRecorded() | DispositionDropped() | RevisionNoticed()
            | ListeningPaused() | WorkStopped() | WorkFinished()
        ):  # fmt: skip
            return ""
        case _:
            assert_never(fact)
