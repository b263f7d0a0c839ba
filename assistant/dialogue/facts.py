"""What the core establishes and wants recorded: the content of the build record.

Facts are effects of the pure core; the journal stores them beside the event that caused them.
The report reads facts alone. ``step`` is a step id.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from assistant.dialogue.picture_file import PictureFile
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import Judgement, Limits


class Fact(BaseModel):
    """Common to all facts."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class ManualChecked(Fact):
    """The builder spoke the revision of the manual on the bench."""

    kind: Literal["manual_checked"] = "manual_checked"
    spoken: str
    expected: str
    matches: bool


class ConditionChosen(Fact):
    """Variant or parts condition, chosen at the start."""

    kind: Literal["condition_chosen"] = "condition_chosen"
    what: Literal["variant", "parts"]
    value: str


class StepOpened(Fact):
    kind: Literal["step_opened"] = "step_opened"
    step: str
    title: str


class StepDone(Fact):
    """``how``: done by the builder, skipped with a reason, or not applicable.

    ``part_way``: a tightening that was begun, and skipped before all of it was done.
    """

    kind: Literal["step_done"] = "step_done"
    step: str
    how: Literal["done", "skipped", "not_applicable"]
    reason: str = ""
    part_way: bool = False


class StepReopened(Fact):
    """The builder went back; what was recorded for the step is superseded."""

    kind: Literal["step_reopened"] = "step_reopened"
    step: str


class Acknowledged(Fact):
    """A caution or torque announcement was acknowledged; ``what`` is the words announced."""

    kind: Literal["acknowledged"] = "acknowledged"
    step: str
    what: str


class ReadingOffered(Fact):
    """A value was heard and read back. It does not count until confirmed."""

    kind: Literal["reading_offered"] = "reading_offered"
    step: str
    position: str
    indication: Indication
    heard: str
    judgement: Judgement
    digits_asked: bool
    why_asked: str = ""


class ReadingConfirmed(Fact):
    """A value counts. ``how``: by going on after the readback, or digit by digit."""

    kind: Literal["reading_confirmed"] = "reading_confirmed"
    step: str
    position: str
    quantity: str
    indication: Indication
    limits: Limits
    judgement: Judgement
    gauge: str
    how: Literal["readback", "digits"]
    tool: str = ""  # of the bench's inventory, where one stood for the gauge
    tool_name: str = ""
    uncertainty: Amount | None = None  # expanded, k = 2; None: not known


class ReadingSuperseded(Fact):
    """An earlier value of this position no longer counts; it stays in the journal."""

    kind: Literal["reading_superseded"] = "reading_superseded"
    step: str
    position: str
    why: Literal["correction", "remeasure", "reopened"]


class ValueDerived(Fact):
    """A value computed from earlier readings, with its verdict.

    ``value`` is exact; ``shown`` is what was said, no coarser than the finest reading in it.
    """

    kind: Literal["value_derived"] = "value_derived"
    step: str
    quantity: str
    value: Amount
    limits: Limits
    judgement: Judgement
    formula: str
    shown: Amount | None = None
    uncertainty: Amount | None = None  # expanded, k = 2; None: not known


class ShimsChosen(Fact):
    """Shims from the set that bring ``gap`` to ``result``, thickest first.

    ``effect``: whether they close the gap or open it.
    """

    kind: Literal["shims_chosen"] = "shims_chosen"
    step: str
    quantity: str
    gap: Amount
    shims: tuple[Amount, ...]
    total: Amount
    result: Amount
    limits: Limits
    effect: Literal["close", "open"] = "close"
    shown: Amount | None = None
    judgement: Judgement | None = None
    uncertainty: Amount | None = None


class ToolChecked(Fact):
    """A tool of the bench inventory was looked at for a step; ``findings`` were spoken.

    ``instead_of``: the gauge called for, where another takes its place.
    """

    kind: Literal["tool_checked"] = "tool_checked"
    step: str
    tool: str
    name: str
    calibration_due: str = ""
    findings: tuple[str, ...] = ()
    stops: bool = False
    instead_of: str = ""
    unit: str = ""
    resolution: Amount | None = None
    uncertainty: Amount | None = None  # expanded, k = 2; None: not stated


class TorqueAnnounced(Fact):
    """The torque of a pass was announced, as ``torque`` set on the wrench.

    ``wanted`` is the torque that the pass asks for, where the mark set is another; ``assumed`` the
    tolerance taken to accept that mark, where the procedure gives none.
    """

    kind: Literal["torque_announced"] = "torque_announced"
    step: str
    pass_number: int
    torque: Amount  # in the unit of the wrench
    target: Amount  # as the procedure states the full target
    at_fastener: Amount | None = None  # where adapter or prevailing torque change the setting
    wanted: Amount | None = None
    assumed: Amount | None = None
    thread: Literal["dry", "lubricated"]


class FastenerTightened(Fact):
    kind: Literal["fastener_tightened"] = "fastener_tightened"
    step: str
    pass_number: int
    fastener: str
    torque: Amount  # as set on the wrench
    at_fastener: Amount | None = None  # where adapter or drag make it another


class FastenerReopened(Fact):
    """A fastener of this pass was missed, or is to be done again: its tightening is void."""

    kind: Literal["fastener_reopened"] = "fastener_reopened"
    step: str
    pass_number: int
    fastener: str


class Identified(Fact):
    kind: Literal["identified"] = "identified"
    step: str
    part: str
    what: str
    text: str


class Chosen(Fact):
    kind: Literal["chosen"] = "chosen"
    step: str
    option: str


class WaitStarted(Fact):
    kind: Literal["wait_started"] = "wait_started"
    step: str
    started: str
    until: str


class WaitOver(Fact):
    kind: Literal["wait_over"] = "wait_over"
    step: str


class Inspected(Fact):
    """A hold point was accepted or refused by a person other than the builder."""

    kind: Literal["inspected"] = "inspected"
    step: str
    person: str
    accepted: bool


class DispositionRecorded(Fact):
    """An out-of-limit value was dispositioned; the job holds until ``released_by`` is known."""

    kind: Literal["disposition_recorded"] = "disposition_recorded"
    step: str
    position: str
    disposition: str
    reason: str = ""
    clip: str | None = None
    released_by: str | None = None


class DispositionDropped(Fact):
    """A disposition that was not released: refused by ``person``, or taken back by the builder."""

    kind: Literal["disposition_dropped"] = "disposition_dropped"
    step: str
    position: str
    disposition: str
    how: Literal["refused", "taken_back"]
    person: str = ""


class NoteTaken(Fact):
    kind: Literal["note_taken"] = "note_taken"
    step: str | None
    text: str
    clip: str | None
    seconds: float | None = None  # how long the sound is


class NoteTakenBack(Fact):
    """The note taken last no longer counts; it stays in the journal."""

    kind: Literal["note_taken_back"] = "note_taken_back"
    step: str | None
    clip: str | None


class PictureAttached(Fact, PictureFile):
    """A picture belongs to its step."""

    kind: Literal["picture_attached"] = "picture_attached"


class PictureTakenBack(Fact):
    """The picture attached last no longer counts; its file and this entry stay."""

    kind: Literal["picture_taken_back"] = "picture_taken_back"
    step: str | None
    file: str


class RevisionNoticed(Fact):
    """The builder acknowledged that the procedure's file was revised since the job began.

    ``done`` are the steps done already that say something else now, ``ahead`` those still to do;
    the work goes on by what it began with.
    """

    kind: Literal["revision_noticed"] = "revision_noticed"
    revision: str
    sha256: str
    done: tuple[str, ...]
    ahead: tuple[str, ...]
    removed: tuple[str, ...] = ()
    added: tuple[str, ...] = ()


class ListeningPaused(Fact):
    kind: Literal["listening_paused"] = "listening_paused"
    paused: bool


class WorkStopped(Fact):
    """The builder stopped work; the session can be resumed."""

    kind: Literal["work_stopped"] = "work_stopped"
    step: str | None


class WorkFinished(Fact):
    """Every step is done, skipped or not applicable."""

    kind: Literal["work_finished"] = "work_finished"
    skipped: tuple[str, ...]
    open_dispositions: int


AnyFact = Annotated[
    ManualChecked
    | ConditionChosen
    | StepOpened
    | StepDone
    | StepReopened
    | Acknowledged
    | ReadingOffered
    | ReadingConfirmed
    | ReadingSuperseded
    | ValueDerived
    | ShimsChosen
    | ToolChecked
    | TorqueAnnounced
    | FastenerTightened
    | FastenerReopened
    | Identified
    | Chosen
    | WaitStarted
    | WaitOver
    | Inspected
    | DispositionRecorded
    | DispositionDropped
    | NoteTaken
    | NoteTakenBack
    | PictureAttached
    | PictureTakenBack
    | RevisionNoticed
    | ListeningPaused
    | WorkStopped
    | WorkFinished,
    Field(discriminator="kind"),
]
