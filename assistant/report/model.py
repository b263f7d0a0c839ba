"""The build record: what a session established, in the order and words of a workshop.

Times are ISO 8601 with offset, durations seconds. Nothing that was recorded is left out: what
no longer counts says since when and why.
"""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict

from assistant.dialogue.picture_file import Media
from assistant.report.written import (
    AmountOut,
    DifferenceOut,
    IndicationOut,
    JudgementOut,
    LimitsOut,
)


class RecordLine(BaseModel):
    """Common to all parts of a record; they grow while it is read."""

    model_config = ConfigDict(extra="forbid")


class Document(RecordLine):
    """A document with its revision."""

    title: str
    revision: str
    date: str = ""


class PersonLine(RecordLine):
    name: str
    initials: str
    role: str


class ToolLine(RecordLine):
    """A gauge or wrench that the procedure calls for; ``used`` when a value came from it.

    ``own_id``, ``own_name`` and ``calibration_due`` (ISO 8601 date) are those of the bench's own
    tool, where an inventory was kept; ``checked_at`` is when it was last looked at, ``findings``
    what was said.
    """

    id: str
    name: str
    kind: str
    unit: str
    resolution: DifferenceOut | None
    uncertainty: DifferenceOut | None
    used: bool = False
    own_id: str = ""
    own_name: str = ""
    calibration_due: str | None = None
    checked_at: str | None = None
    findings: list[str] = []


class PartLine(RecordLine):
    """A part, with the numbers read off it that count."""

    id: str
    name: str
    quantity: int
    numbers: list[str] = []


class MaterialLine(RecordLine):
    """Oil, grease or sealant that the procedure calls for; ``steps`` (ids) use it."""

    name: str
    steps: list[str] = []


class ManualLine(RecordLine):
    """The revision of the manual on the bench, as spoken."""

    at: str
    spoken: str
    expected: str
    matches: bool


class ConditionLine(RecordLine):
    at: str
    what: str
    value: str


class Visit(RecordLine):
    """One time that a step was open. ``how`` is empty while it has not been closed."""

    opened_at: str
    closed_at: str | None = None
    how: str = ""
    reason: str = ""


class StepLine(RecordLine):
    """A step of the procedure; ``outcome`` is ``pending`` until it is closed.

    ``part_way``: a tightening that was begun, and skipped before all of it was done.
    """

    id: str
    number: int
    title: str
    kind: str
    reference: str
    outcome: Literal["pending", "open", "done", "skipped", "not_applicable"] = "pending"
    reason: str = ""
    part_way: bool = False
    visits: list[Visit] = []
    seconds: float = 0.0


class AdjustmentLine(RecordLine):
    """Something was adjusted because the value ``found`` was out of limits.

    ``number`` counts those of the step until it was done; ``back_to`` is the step (id) that was
    done again for it.
    """

    at: str
    step: str
    position: str
    number: int
    side: Literal["high", "low", ""]
    what: str
    back_to: str = ""
    found: IndicationOut
    clip: str | None = None


class AcknowledgedLine(RecordLine):
    """A caution or torque announcement that the builder acknowledged."""

    at: str
    step: str
    what: str


ReadingStatus = Literal["counts", "superseded", "evidence", "not_taken", "unconfirmed"]


class ReadingLine(RecordLine):
    """A value that was heard, or derived.

    ``status``: ``counts``; ``superseded`` by a correction; ``evidence`` (a blade that goes, part
    of a later value); ``not_taken`` (misheard, or doubted and dropped); ``unconfirmed`` (the
    record ends before it was confirmed).
    """

    step: str
    position: str
    quantity: str
    at: str  # when it was heard, or computed
    entry: int = 0  # the journal's entry of the event that it came from; 0: none, a damaged journal
    confirmed_at: str | None = None
    due: str | None = None  # of a log: when it was to be read
    late_s: int = 0  # seconds late; 0 where that is allowed
    indication: IndicationOut
    limits: LimitsOut
    judgement: JudgementOut
    status: ReadingStatus
    gauge: str = ""
    tool: str = ""  # the bench's own, by its name
    uncertainty: DifferenceOut | None = None  # expanded, k = 2; None: not known
    how: str = ""
    heard: str = ""
    digits_asked: bool = False
    why_asked: str = ""
    formula: str = ""
    exact: str = ""  # of a computed value that was rounded: the value itself, as a fraction
    superseded_at: str | None = None
    superseded_why: str = ""
    by: str = ""
    engine: str | None = None
    clip: str | None = None
    confirmed_clip: str | None = None


class TightenedLine(RecordLine):
    """One fastener tightened once; ``order`` counts within the pass; void when done again.

    ``torque`` is what the wrench was set to, None in a pass that only turns; ``at_fastener`` what
    the fastener got by it, where an adapter or the drag of a locking nut make that another;
    ``turn`` by how much it was turned on, or back. ``moved`` is of a check. ``together``: the
    builder said the whole pass done at once.
    """

    fastener: str
    order: int
    at: str
    torque: AmountOut | None
    at_fastener: AmountOut | None = None
    turn: AmountOut | None = None
    moved: bool | None = None
    together: bool = False
    void_since: str | None = None
    void_why: str = ""
    clip: str | None = None


class PassLine(RecordLine):
    """A pass as announced: ``torque`` was set on the wrench; None in a pass that only turns.

    ``work`` is what it does: tighten to the torque, turn on, loosen, or check that none moves.
    ``minimum``: the torque is the least, and ``up_to`` the mark not to be passed. ``wanted`` is
    what the pass asked for where the mark was another, ``assumed`` the tolerance taken for it where
    the procedure gives none. ``at_fastener`` is what the fastener gets by it, where an adapter or a
    locking nut's drag make that another; ``turn`` the angle after the torque, or that of the pass.
    """

    number: int
    work: Literal["torque", "turn", "loosen", "check"] = "torque"
    torque: AmountOut | None
    minimum: bool = False
    up_to: AmountOut | None = None
    wanted: AmountOut | None = None
    assumed: AmountOut | None = None
    at_fastener: AmountOut | None = None
    turn: AmountOut | None = None
    announced_at: str
    tightened: list[TightenedLine] = []


class TighteningLine(RecordLine):
    """All passes over one pattern; ``given`` are the fasteners in the procedure's numbering.

    ``target`` is the final torque, ``angle`` the whole turn after it. ``stages``: how many passes
    the procedure asks for, of which ``passes`` has those announced; 0 where that is not known.
    """

    step: str
    tool: str
    pattern: str
    given: list[str]
    target: AmountOut
    tolerance: AmountOut | None
    angle: AmountOut | None
    left_hand: bool = False
    thread: str
    lubricant: str
    locker: str = ""
    stages: int = 0
    passes: list[PassLine] = []


class ReplaceableLine(RecordLine):
    """Something that going back to its step supersedes."""

    at: str
    step: str
    superseded_at: str | None = None


class IdentifiedLine(ReplaceableLine):
    part: str
    what: str
    text: str
    clip: str | None = None


class ChosenLine(ReplaceableLine):
    option: str


class PartDoneLine(ReplaceableLine):
    """One of several parts that were confirmed one by one."""

    name: str


class TimedLine(ReplaceableLine):
    """Work with a longest time; ``over_s`` are the seconds beyond it."""

    allowed: AmountOut
    took_s: int
    over_s: int


class WaitLine(RecordLine):
    step: str
    started: str
    until: str
    over_at: str | None = None


class LogLine(RecordLine):
    """A log that was begun; ``how`` it ended: ``time``, ``settled`` or ``not_settled``.

    ``missed`` are the times at which a row was due that was not read. ``void_since``: begun again.
    """

    step: str
    started: str
    every: AmountOut
    duration: AmountOut
    missed: list[str] = []
    ended_at: str | None = None
    how: Literal["", "time", "settled", "not_settled"] = ""
    change: DifferenceOut | None = None
    within: DifferenceOut | None = None
    over: AmountOut | None = None
    void_since: str | None = None


class InspectionLine(ReplaceableLine):
    """A hold point, accepted or refused."""

    criteria: str
    person: str
    accepted: bool
    clip: str | None = None


class DispositionLine(RecordLine):
    """What was decided on an out-of-limit value.

    ``refused``: an inspector did not release it. ``withdrawn``: measured or done again since, or
    taken back by the builder.
    """

    step: str
    position: str
    disposition: str
    reason: str
    state: Literal["open", "released", "refused", "withdrawn"]
    at: str
    released_by: str | None = None
    released_at: str | None = None
    refused_by: str | None = None
    refused_at: str | None = None
    clip: str | None = None


class NoteLine(RecordLine):
    """A note; ``seconds`` of sound. One that was taken back stays, and says since when."""

    at: str
    step: str | None
    text: str
    clip: str | None
    seconds: float | None = None
    taken_back_at: str | None = None


class PictureLine(RecordLine):
    """A picture of ``step`` (None: of the job); ``file`` is the SHA-256 of its bytes.

    ``taken`` is the time of the picture's file, ``at`` when it was attached.
    """

    at: str
    step: str | None
    name: str
    file: str
    media: Media
    size: int  # bytes
    taken: str
    taken_back_at: str | None = None


class RevisionLine(RecordLine):
    """The builder acknowledged that the procedure's file was revised; step ids and titles."""

    at: str
    revision: str
    sha256: str
    done: list[str]
    ahead: list[str]
    removed: list[str]
    added: list[str]


class MomentLine(RecordLine):
    """Something that happened to the session as a whole: stopped, resumed, equipment failed.

    Also a caution, a torque or a readback that the builder cut short, and that it was said again.
    """

    at: str
    what: str
    detail: str = ""


class UnreadLine(RecordLine):
    """A fact of the journal that this version does not understand."""

    seq: int
    kind: str


class BuildRecord(RecordLine):
    """Everything that one session established."""

    format: Literal["assembly-build-record"] = "assembly-build-record"
    version: Literal[3] = 3
    session: str = ""
    job: str = ""
    procedure_id: str = ""
    procedure: Document = Document(title="", revision="")
    procedure_sha256: str = ""
    governing: Document = Document(title="", revision="")
    demo_clock: bool = False
    opened_at: str = ""
    last_at: str = ""
    finished_at: str | None = None
    people: list[PersonLine] = []
    tools: list[ToolLine] = []
    parts: list[PartLine] = []
    materials: list[MaterialLine] = []
    manual: list[ManualLine] = []
    conditions: list[ConditionLine] = []
    dispositions: list[DispositionLine] = []
    steps: list[StepLine] = []
    readings: list[ReadingLine] = []
    tightenings: list[TighteningLine] = []
    identified: list[IdentifiedLine] = []
    chosen: list[ChosenLine] = []
    parts_done: list[PartDoneLine] = []
    timed: list[TimedLine] = []
    waits: list[WaitLine] = []
    logs: list[LogLine] = []
    inspections: list[InspectionLine] = []
    adjustments: list[AdjustmentLine] = []
    acknowledged: list[AcknowledgedLine] = []
    notes: list[NoteLine] = []
    pictures: list[PictureLine] = []
    revisions: list[RevisionLine] = []
    moments: list[MomentLine] = []
    clock_set_back_at: list[int] = []
    unread: list[UnreadLine] = []
    entries: int = 0
    last_hash: str = ""

    def step_line(self, step: str) -> StepLine | None:
        """The line of the step with this id."""
        return next((line for line in self.steps if line.id == step), None)

    def skipped(self) -> list[StepLine]:
        """The steps that were skipped."""
        return [line for line in self.steps if line.outcome == "skipped"]

    def counting(self) -> list[ReadingLine]:
        """The readings that count."""
        return [line for line in self.readings if line.status == "counts"]
