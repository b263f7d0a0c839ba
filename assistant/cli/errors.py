"""User's mistakes as one clear sentence and exit status 2, never a traceback."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import NoReturn, ParamSpec, TypeVar

import typer

from assistant.cli.terminal import tell

P = ParamSpec("P")
R = TypeVar("R")


class AskedError(ValueError):
    """The command line asks for something that is not available; the message is for a mechanic."""


def fail(message: str) -> NoReturn:
    """Print ``message`` to standard error and leave with status 2."""
    tell(message, err=True)
    raise typer.Exit(2)


def plainly(*faults: type[Exception]) -> Callable[[Callable[P, R]], Callable[P, R]]:
    """Turn the named faults of a command into their sentence and status 2."""

    def decorate(command: Callable[P, R]) -> Callable[P, R]:
        @wraps(command)
        def run(*args: P.args, **kwargs: P.kwargs) -> R:
            try:
                return command(*args, **kwargs)
            except faults as fault:
                fail(str(fault))

        return run

    return decorate
