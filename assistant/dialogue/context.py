"""What a session is given and never changes: procedure, language, policy."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.language import Language
from assistant.language.policy import Policy
from assistant.procedure.models import Procedure


@dataclass(frozen=True)
class Context:
    """The unchanging surroundings of a session."""

    procedure: Procedure
    language: Language
    policy: Policy = field(default_factory=Policy)
