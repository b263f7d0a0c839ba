"""The step kinds in the dialogue: one file (or folder) a kind, and this list."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any, Union, get_args

from pydantic import Field

from assistant.dialogue import owner
from assistant.dialogue.facts import Fact, SharedFact
from assistant.dialogue.kinds import kind
from assistant.dialogue.kinds.action import ActionDialogue
from assistant.dialogue.kinds.caution import CautionDialogue
from assistant.dialogue.kinds.choice import ChoiceDialogue
from assistant.dialogue.kinds.derived import DerivedDialogue
from assistant.dialogue.kinds.identification import IdentificationDialogue
from assistant.dialogue.kinds.inspection import InspectionDialogue
from assistant.dialogue.kinds.kind import KindDialogue
from assistant.dialogue.kinds.log import LogDialogue
from assistant.dialogue.kinds.measurement import MeasurementDialogue
from assistant.dialogue.kinds.shims import ShimsDialogue
from assistant.dialogue.kinds.tightening import TighteningDialogue
from assistant.dialogue.kinds.wait import WaitDialogue

KINDS: tuple[KindDialogue[Any], ...] = (
    CautionDialogue(),
    ActionDialogue(),
    MeasurementDialogue(),
    LogDialogue(),
    DerivedDialogue(),
    ShimsDialogue(),
    TighteningDialogue(),
    IdentificationDialogue(),
    ChoiceDialogue(),
    WaitDialogue(),
    InspectionDialogue(),
)

kind.register(KINDS)
owner.register(KINDS)

FACTS: tuple[type[Fact], ...] = (
    *get_args(SharedFact),
    *(fact for kind in KINDS for fact in kind.facts),
)

if TYPE_CHECKING:
    AnyFact = Fact
else:
    AnyFact = Annotated[Union[FACTS], Field(discriminator="kind")]  # noqa: UP007  # from a list
