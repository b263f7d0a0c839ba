"""What is recorded of readings: heard, counted, no longer counting."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue.facts import Fact
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import Judgement, Limits


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
    limits: Limits | None = None  # where they lie around an earlier value


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
    read_at: str = ""  # of a log: when it was read, and when it was to be (ISO 8601)
    due: str = ""
    late_s: int = 0  # seconds late; 0 where that is allowed


class ReadingSuperseded(Fact):
    """An earlier value of this position no longer counts; it stays in the journal.

    ``adjusted``: it was right, and out of limits; something was adjusted since.
    """

    kind: Literal["reading_superseded"] = "reading_superseded"
    step: str
    position: str
    why: Literal["correction", "remeasure", "reopened", "adjusted"]
