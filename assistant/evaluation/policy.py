"""What the dialogue would do with an answer: its own rule of trust, named as the tables name it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, assert_never

from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.policy import Policy
from assistant.language.spec import ListenSpec, Meaning, Reading
from assistant.language.trust import Act, Again, Ask, Ignored, understand
from assistant.quantities.amount import same_value

OutcomeKind = Literal["nothing", "again", "asked", "accepted"]
"""Nothing happens; it chimes for another try; it asks for the digits; it acts on what it heard."""


@dataclass(frozen=True)
class Outcome:
    """What happens, and the meaning that is asked about or acted on; ``why`` it is asked."""

    kind: OutcomeKind
    meaning: Meaning | None = None
    why: str = ""


def decide(
    language: Language, spec: ListenSpec, recognition: Recognition, policy: Policy
) -> Outcome:
    """The dialogue's answer to ``recognition``, before any look at the procedure's limits.

    A value that the procedure finds implausible is also asked for; the bench leaves that
    safeguard out, so that its rates do not hang on a procedure.
    """
    understood = understand(policy, language, spec, recognition)
    match understood:
        case Ignored():
            return Outcome("nothing")
        case Again(why=why, meaning=meaning):
            return Outcome("again", meaning, why)
        case Ask(meaning=meaning, why=why):
            return Outcome("asked", meaning, why)
        case Act(meaning=meaning):
            return Outcome("accepted", meaning)
        case _:
            assert_never(understood)


def same_meaning(one: Meaning | None, other: Meaning | None) -> bool:
    """Whether two meanings have the same effect; readings by their value, whatever the words."""
    if isinstance(one, Reading) and isinstance(other, Reading):
        return same_value(one.indication, other.indication)
    return one == other
