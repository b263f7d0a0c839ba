"""What the dialogue would do with an answer, by the dialogue's own rules of doubt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from assistant.dialogue.context import Policy
from assistant.dialogue.core import MOVES_ON
from assistant.dialogue.doubt import misheard, same_value
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.spec import Command, ListenSpec, Meaning, Reading

Kind = Literal["nothing", "again", "asked", "accepted"]
"""Nothing happens; it chimes for another try; it asks for the digits; it acts on what it heard."""


@dataclass(frozen=True)
class Outcome:
    """What happens, and the meaning that is asked about or acted on; ``why`` it is asked."""

    kind: Kind
    meaning: Meaning | None = None
    why: str = ""


def decide(
    language: Language, spec: ListenSpec, recognition: Recognition, policy: Policy
) -> Outcome:
    """The dialogue's answer to ``recognition``, before any look at the procedure's limits.

    A value that the procedure finds implausible is asked for besides; the bench leaves that
    safeguard out, so that its rates do not hang on a procedure.
    """
    if not recognition.hypotheses:
        return Outcome("nothing")
    best = recognition.hypotheses[0]
    meanings = language.interpret(spec, best.text)
    if len(meanings) != 1 or best.confidence < policy.reject:
        return Outcome("again")
    meaning = meanings[0]
    if isinstance(meaning, Reading):
        why = misheard(policy, language, spec, recognition, meaning)
        return Outcome("asked" if why else "accepted", meaning, why)
    moves_on = isinstance(meaning, Command) and meaning.id in MOVES_ON
    if moves_on and best.confidence < policy.advance:
        return Outcome("again", meaning, "unsure")
    if recognition.second:
        others = language.interpret(spec, recognition.second)
        if others and meaning not in others:
            return Outcome("again", meaning, "disagree")
    return Outcome("accepted", meaning)


def same_meaning(one: Meaning | None, other: Meaning | None) -> bool:
    """Whether two meanings have the same effect; readings by their value, whatever the words."""
    if isinstance(one, Reading) and isinstance(other, Reading):
        return same_value(one.indication, other.indication)
    return one == other
