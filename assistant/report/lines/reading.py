"""Lines of the record about values: what was heard or computed, and what was decided on it."""

from __future__ import annotations

from typing import Literal

from assistant.report.lines.line import RecordLine
from assistant.report.written import (
    DifferenceOut,
    IndicationOut,
    JudgementOut,
    LimitsOut,
)


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
    inputs: dict[str, str] = {}  # what the names in the formula stand for, in words
    exact: str = ""  # of a computed value that was rounded: the value itself, as a fraction
    superseded_at: str | None = None
    superseded_why: str = ""
    by: str = ""
    engine: str | None = None
    clip: str | None = None
    confirmed_clip: str | None = None


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
