"""What the core establishes and wants recorded: the content of the build record.

Facts are effects of the pure core; the journal stores them beside the event that caused them.
The report reads facts alone. ``step`` is a step id.
"""

from __future__ import annotations

from typing import ClassVar, Literal

from pydantic import BaseModel, ConfigDict

from assistant.dialogue.picture_file import PictureFile
from assistant.dialogue.talk import Talk
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.problem import Told


class Fact(BaseModel):
    """Common to all facts. ``takes_back``: what was recorded before no longer counts."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)
    takes_back: ClassVar[bool] = False
    kind: str


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
    """The step became the open one."""

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
    """The builder went back; what was recorded for the step is superseded.

    ``why``: ``adjusted`` where a later value out of limits is corrected by doing it again.
    """

    takes_back: ClassVar[bool] = True
    kind: Literal["step_reopened"] = "step_reopened"
    step: str
    why: Literal["reopened", "adjusted"] = "reopened"


class Adjusted(Fact):
    """Something was adjusted because the value ``found`` at a position was out of limits.

    ``number`` counts the adjustments of the step until it is done; ``what`` is what the procedure
    says to do, ``back_to`` the step that is done again for it.
    """

    kind: Literal["adjusted"] = "adjusted"
    step: str
    position: str
    number: int
    side: Literal["high", "low", ""]
    what: str
    back_to: str = ""
    found: Indication


class Acknowledged(Fact):
    """A caution or torque announcement was acknowledged; ``what`` is the words announced.

    ``of``: what was acknowledged. The words of a caution are the procedure's. Those of a torque
    or a loosening come from a prompt, which other versions of the program may word differently.
    """

    kind: Literal["acknowledged"] = "acknowledged"
    step: str
    what: str
    of: Literal["caution", "torque", "loosening"] = "caution"


class ToolChecked(Fact):
    """A tool of the bench inventory was looked at for a step; ``findings`` were spoken.

    Older records have these as English sentences. ``instead_of``: the gauge called for, where
    another takes its place.
    """

    kind: Literal["tool_checked"] = "tool_checked"
    step: str
    tool: str
    name: str
    calibration_due: str = ""
    findings: tuple[Told, ...] = ()
    stops: bool = False
    instead_of: str = ""
    unit: str = ""
    resolution: Amount | None = None
    uncertainty: Amount | None = None  # expanded, k = 2; None: not stated


class WaitStarted(Fact):
    """A wait began; ``started`` and ``until`` are ISO 8601."""

    kind: Literal["wait_started"] = "wait_started"
    step: str
    started: str
    until: str


class WaitOver(Fact):
    """The time of a wait has passed."""

    kind: Literal["wait_over"] = "wait_over"
    step: str


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

    takes_back: ClassVar[bool] = True
    kind: Literal["disposition_dropped"] = "disposition_dropped"
    step: str
    position: str
    disposition: str
    how: Literal["refused", "taken_back"]
    person: str = ""


class NoteTaken(Fact):
    """The builder's note: ``text`` as heard or typed, ``clip`` its sound."""

    kind: Literal["note_taken"] = "note_taken"
    step: str | None
    text: str
    clip: str | None
    seconds: float | None = None  # how long the sound is


class NoteTakenBack(Fact):
    """The note taken last no longer counts; it stays in the journal."""

    takes_back: ClassVar[bool] = True
    kind: Literal["note_taken_back"] = "note_taken_back"
    step: str | None
    clip: str | None


class PictureAttached(Fact, PictureFile):
    """A picture belongs to its step."""

    kind: Literal["picture_attached"] = "picture_attached"


class PictureTakenBack(Fact):
    """The picture attached last no longer counts; its file and this entry stay."""

    takes_back: ClassVar[bool] = True
    kind: Literal["picture_taken_back"] = "picture_taken_back"
    step: str | None
    file: str


class RevisionNoticed(Fact):
    """The builder acknowledged that the procedure's file was revised since the job began.

    ``done`` are the steps done already that say something else now, ``ahead`` those still to do;
    the job continues with the procedure that it began with.
    """

    kind: Literal["revision_noticed"] = "revision_noticed"
    revision: str
    sha256: str
    done: tuple[str, ...]
    ahead: tuple[str, ...]
    removed: tuple[str, ...] = ()
    added: tuple[str, ...] = ()


class ListeningPaused(Fact):
    """The builder had the assistant stop listening, or listen again."""

    kind: Literal["listening_paused"] = "listening_paused"
    paused: bool


class TalkChanged(Fact):
    """The builder chose how much is said aloud."""

    kind: Literal["talk_changed"] = "talk_changed"
    talk: Talk


class WorkStopped(Fact):
    """The builder stopped work; the session can be resumed."""

    kind: Literal["work_stopped"] = "work_stopped"
    step: str | None


class WorkFinished(Fact):
    """Every step is done, skipped or not applicable."""

    kind: Literal["work_finished"] = "work_finished"
    skipped: tuple[str, ...]
    open_dispositions: int


SharedFact = (
    ManualChecked
    | ConditionChosen
    | StepOpened
    | StepDone
    | StepReopened
    | Adjusted
    | Acknowledged
    | ToolChecked
    | DispositionRecorded
    | DispositionDropped
    | NoteTaken
    | NoteTakenBack
    | PictureAttached
    | PictureTakenBack
    | RevisionNoticed
    | ListeningPaused
    | TalkChanged
    | WorkStopped
    | WorkFinished
)
"""What any step, or the session as a whole, may have recorded."""
