"""The step kinds on the board: one file a kind, and this list."""

from __future__ import annotations

from typing import Any

from assistant.board.kinds.action import ActionBoard
from assistant.board.kinds.caution import CautionBoard
from assistant.board.kinds.choice import ChoiceBoard
from assistant.board.kinds.derived import DerivedBoard
from assistant.board.kinds.identification import IdentificationBoard
from assistant.board.kinds.inspection import InspectionBoard
from assistant.board.kinds.kind import KindBoard
from assistant.board.kinds.log import LogBoard
from assistant.board.kinds.measurement import MeasurementBoard
from assistant.board.kinds.shims import ShimsBoard
from assistant.board.kinds.tightening import TighteningBoard
from assistant.board.kinds.wait import WaitBoard
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds.kind import recorder_of
from assistant.procedure.step import Step

KINDS: tuple[KindBoard[Any], ...] = (
    CautionBoard(),
    ActionBoard(),
    MeasurementBoard(),
    LogBoard(),
    DerivedBoard(),
    ShimsBoard(),
    TighteningBoard(),
    IdentificationBoard(),
    ChoiceBoard(),
    WaitBoard(),
    InspectionBoard(),
)

_BY_NAME: dict[str, KindBoard[Any]] = {kind.kind: kind for kind in KINDS}


def kind_of(step: Step) -> KindBoard[Any]:
    """The kind of ``step``, as the board shows it."""
    return _BY_NAME[step.kind]


def recording(fact: Fact) -> KindBoard[Any] | None:
    """The kind that alone records ``fact``; None of a fact that any step may have."""
    name = recorder_of(fact)
    return None if name is None else _BY_NAME[name]
