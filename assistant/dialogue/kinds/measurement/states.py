"""What a measurement awaits: a reading, or the digits of one that is not certain."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.dialogue.states import DialogueState
from assistant.quantities.amount import Indication


@dataclass(frozen=True)
class Measuring(DialogueState):
    """A reading at position ``index`` is awaited; ``evidence`` so far (blades tried)."""

    index: int
    evidence: tuple[Indication, ...] = ()


@dataclass(frozen=True)
class DigitCheck(DialogueState):
    """A reading was heard that is not certain; it must be confirmed digit by digit."""

    index: int
    indication: Indication
    heard: str
    why: str
    evidence: tuple[Indication, ...] = ()
