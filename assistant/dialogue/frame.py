"""The frame around the step kinds: who answers for the states that all of them share."""

from __future__ import annotations

from typing import Any

from assistant.dialogue import owner
from assistant.dialogue.attaching_picture import AttachingPicture
from assistant.dialogue.between import Between
from assistant.dialogue.deciding import Deciding, GivingReasons, Releasing
from assistant.dialogue.doing import Working
from assistant.dialogue.leaving import Leaving
from assistant.dialogue.naming import Naming
from assistant.dialogue.noting import TakingNotes
from assistant.dialogue.opening import Opening
from assistant.dialogue.owner import StateOwner
from assistant.dialogue.resuming import Resuming
from assistant.dialogue.reviewing import Reviewing

FRAME: tuple[StateOwner[Any], ...] = (
    Opening(),
    Working(),
    Reviewing(),
    AttachingPicture(),
    Deciding(),
    GivingReasons(),
    Releasing(),
    Between(),
    Leaving(),
    Naming(),
    TakingNotes(),
    Resuming(),
)

owner.register(FRAME)
