"""The dialogue states that all step kinds share: what may be awaited of the builder.

Those of one kind are in ``kinds``. An interruption (skip, note, stop, ...) remembers the state that
it returns to.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from assistant.dialogue.events import Revised
from assistant.quantities.amount import Amount


class DialogueState:
    """What is awaited of the builder: plain data, a frozen dataclass.

    What it makes of anything said is asked of its owner (``owner.StateOwner``).
    """


@dataclass(frozen=True)
class Manual(DialogueState):
    """The revision of the manual on the bench is awaited."""


@dataclass(frozen=True)
class ManualReadback(DialogueState):
    """A revision was spoken and read back."""

    spoken: str


@dataclass(frozen=True)
class Conditions(DialogueState):
    """Variant or parts condition is awaited.

    With ``manual``, the manual's revision as it was heard, everything is read back at once in the
    end; then both conditions may be named together, and ``variant`` is the one heard so far.
    """

    what: Literal["variant", "parts"]
    manual: str = ""
    variant: str = ""


@dataclass(frozen=True)
class ConditionReadback(DialogueState):
    """A variant or parts condition was spoken and read back."""

    what: Literal["variant", "parts"]
    value: str


@dataclass(frozen=True)
class OpeningReadback(DialogueState):
    """The manual's revision, variant and parts were heard and read back together."""

    manual: str
    variant: str
    parts: str


@dataclass(frozen=True)
class Acknowledge(DialogueState):
    """Caution number ``index`` of the step was spoken; acknowledgement is awaited."""

    index: int


@dataclass(frozen=True)
class Doing(DialogueState):
    """An action is being done; its completion is awaited."""


@dataclass(frozen=True)
class OutOfLimit(DialogueState):
    """The value at position ``index`` did not pass: remeasure, or a disposition."""

    index: int


@dataclass(frozen=True)
class DispositionReason(DialogueState):
    """A disposition was named; its reason, spoken freely, is awaited."""

    index: int
    disposition: str


@dataclass(frozen=True)
class Release(DialogueState):
    """The job holds until an inspector releases the disposition."""

    index: int
    disposition: str
    reason: str
    clip: str | None
    person: str | None = None
    seconds: int | None = None  # how long the sound of the reason is


@dataclass(frozen=True)
class Review(DialogueState):
    """All of the step is done; the builder may still correct, then goes on.

    Of a tightening: ``torque`` was set on the wrench for the last pass, and gave ``at_fastener``
    where that is not the same. Another bench may have another wrench by now.
    """

    torque: Amount | None = None
    at_fastener: Amount | None = None


@dataclass(frozen=True)
class PictureOwed(DialogueState):
    """All of the step is done but the picture that it asks for."""


@dataclass(frozen=True)
class Waiting(DialogueState):
    """Nothing else may go on until a wait is over."""


@dataclass(frozen=True)
class Blocked(DialogueState):
    """The step cannot be done now, and ``why``, in words: go back, or skip it with a reason."""

    why: str = field(default="", compare=False)


@dataclass(frozen=True)
class Skipping(DialogueState):
    """The reason for skipping the step is awaited."""

    back: DialogueState


@dataclass(frozen=True)
class GoingBack(DialogueState):
    """Going back to step ``to`` would void recorded work; a confirmation is awaited."""

    to: str
    back: DialogueState
    adjusts: bool = False  # to adjust what made a value out of limits


@dataclass(frozen=True)
class PhraseReadback(DialogueState):
    """A phrase of the procedure was heard that sounds like another; a confirmation is awaited.

    ``phrase`` is its id among those that ``back`` awaits, ``words`` what was heard.
    """

    phrase: str
    words: str
    back: DialogueState


@dataclass(frozen=True)
class Noting(DialogueState):
    """The next utterance is kept as a note."""

    back: DialogueState


@dataclass(frozen=True)
class ClockAsked(DialogueState):
    """The wall clock says something hard to believe of a wait; a confirmation is awaited.

    ``revised`` is what is to be acknowledged next, if anything.
    """

    revised: Revised | None
    back: DialogueState


@dataclass(frozen=True)
class RevisionHeard(DialogueState):
    """The procedure was revised meanwhile, and that was said; acknowledgement is awaited."""

    revised: Revised
    back: DialogueState


@dataclass(frozen=True)
class Stopping(DialogueState):
    """Stopping work was asked for; a confirmation is awaited."""

    back: DialogueState


@dataclass(frozen=True)
class Ended(DialogueState):
    """Work is finished; nothing is awaited."""


Interruption = (
    Skipping | GoingBack | PhraseReadback | Noting | ClockAsked | RevisionHeard | Stopping
)
"""A state that interrupts another, and returns to it."""


def underlying(awaiting: DialogueState) -> DialogueState:
    """The state that the interruptions will return to."""
    while isinstance(awaiting, Interruption):
        awaiting = awaiting.back
    return awaiting
