"""What the assistant says in the demo procedures."""

from __future__ import annotations

from assistant.cli.workplace import context_for, find_procedure
from assistant.language.tone import Tone
from assistant.procedure.loader import find_procedures, load_procedure
from assistant.session.rehearsal import rehearse
from assistant.voice.digit_words import digit_words
from assistant.voice.ssml import digit_runs

_CAUTION = "Caution. "


def demo_lines(name: str) -> list[tuple[str, Tone]]:
    """Every line of a procedure once through, in order; cautions and torques in that tone."""
    context = context_for(load_procedure(find_procedure(name)))
    return [(t, tone_of(t)) for scene in rehearse(context) for t in scene.said]


def tone_of(text: str) -> Tone:
    """The tone in which the dialogue says ``text``."""
    return "caution" if text.startswith(_CAUTION) or is_torque(text) else "plain"


def is_torque(text: str) -> bool:
    """Whether ``text`` announces a torque: a tool is set to a value with its digits."""
    return text.startswith("Set ") and bool(digit_runs(digit_words("en-US")).search(text))


def cautions_and_torques() -> tuple[list[str], list[str]]:
    """Every caution and every torque announcement of the demo procedures, each once."""
    said = [t for p in find_procedures() for t, _ in demo_lines(p.stem)]
    cautions = [t for t in dict.fromkeys(said) if t.startswith(_CAUTION)]
    return cautions, [t for t in dict.fromkeys(said) if is_torque(t)]
