"""The builder's voice profile on the command line."""

from __future__ import annotations

from assistant.cli.terminal import tell
from assistant.fitting.errors import FittingError
from assistant.fitting.profile import Profile, load


def profile_for(builder: str, leave_out: bool) -> Profile | None:
    """The profile of ``builder``, if there is one and it is wanted.

    If it cannot be used, a sentence says so, and the work continues without it: the usual
    thresholds are safe for everybody.
    """
    if leave_out:
        return None
    try:
        return load(builder)
    except FittingError as fault:
        tell(f"{fault} Going on without it.", err=True)
        return None
