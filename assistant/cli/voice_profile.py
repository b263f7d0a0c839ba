"""The builder's voice profile on the command line."""

from __future__ import annotations

import typer

from assistant.cli.terminal import tell
from assistant.fitting.errors import FittingError
from assistant.fitting.profile import Profile, load

NO_PROFILE = typer.Option(
    False, "--no-profile", help="Leave the builder's voice profile out, as made by 'fit'."
)


def profile_for(builder: str, leave_out: bool) -> Profile | None:
    """The profile of ``builder``, if there is one and it is wanted.

    One that cannot be used is told of in a sentence, and the work goes on without it: the usual
    thresholds are safe for everybody.
    """
    if leave_out:
        return None
    try:
        return load(builder)
    except FittingError as fault:
        tell(f"{fault} Going on without it.", err=True)
        return None
