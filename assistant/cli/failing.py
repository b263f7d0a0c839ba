"""User's mistakes as one clear sentence and exit status 2, never a traceback."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import NoReturn, ParamSpec, TypeVar

import typer

P = ParamSpec("P")
R = TypeVar("R")


def fail(message: str) -> NoReturn:
    """Print ``message`` to standard error and leave with status 2."""
    typer.echo(message, err=True)
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
