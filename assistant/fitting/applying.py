"""A session's engine for a builder with a profile, and the one line that says so."""

from __future__ import annotations

from assistant.fitting.fitted_engine import FittedEngine
from assistant.fitting.profile import Profile
from assistant.fitting.thresholds import Thresholds
from assistant.language import Language
from assistant.language.policy import Policy
from assistant.speech.types import Engine


def fitted(engine: Engine, profile: Profile, tag: str, language: Language) -> tuple[Engine, str]:
    """``engine`` with the profile's thresholds, or as it is where the profile does not fit it.

    ``tag`` is the language listened for. The text says what was taken from the profile.
    """
    made = f"Voice profile of {profile.builder}, made on {profile.made_at:%Y-%m-%d}"
    if profile.language != tag:
        return engine, f"{made}, is for {profile.language}; left out, as this session is in {tag}."
    if profile.listener != engine.name:
        return engine, (
            f"{made}, was heard by {profile.listener}; its thresholds are left out, as "
            f"{engine.name} listens now. Make it again with "
            "'assembly-assistant fit'."
        )
    own = Thresholds(profile.thresholds.reject, profile.thresholds.sure)
    usual = Policy()
    changed = [
        *([f"commands count from {own.reject:.2f}"] if own.reject != usual.reject else []),
        *([f"values without digits from {own.sure:.2f}"] if own.sure > usual.sure else []),
    ]
    commands = [p for c in language.command_ids for p in language.phrases_for(c)]
    told = ", ".join(changed) or "the usual thresholds suit this voice"
    return FittedEngine(engine, own, commands, usual), f"{made}: {told}."
