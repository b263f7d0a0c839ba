"""Options that several commands share, as one object: a dataclass whose fields are the options."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import MISSING, fields
from functools import wraps
from typing import Any, TypeVar, get_type_hints

ADVANCED = "Advanced"
"""The heading of the help under which a mechanic need not look."""

R = TypeVar("R")


def options_as_objects(command: Callable[..., R]) -> Callable[..., R]:
    """Let ``command`` take its options as dataclasses.

    Each parameter that is annotated with a dataclass is replaced, on the command line, by that
    class's fields, in their order; a field is ``Annotated[type, typer.Option(...)]``.
    """
    hints = get_type_hints(command, include_extras=True)
    parameters: list[inspect.Parameter] = []
    groups: dict[str, tuple[type[Any], list[str]]] = {}
    for name, parameter in inspect.signature(command).parameters.items():
        kind = hints[name]
        if not hasattr(kind, "__dataclass_fields__"):
            parameters.append(parameter.replace(annotation=kind))
            continue
        types = get_type_hints(kind, include_extras=True)
        groups[name] = (kind, list(types))
        for field in fields(kind):
            default = field.default
            if field.default_factory is not MISSING:
                default = field.default_factory()
            elif default is MISSING:
                default = inspect.Parameter.empty
            parameters.append(
                inspect.Parameter(
                    field.name, inspect.Parameter.KEYWORD_ONLY,
                    default=default, annotation=types[field.name],
                )
            )  # fmt: skip

    @wraps(command)
    def with_objects(**given: Any) -> R:
        for name, (kind, names) in groups.items():
            given[name] = kind(**{n: given.pop(n) for n in names})
        return command(**given)

    with_objects.__dict__["__signature__"] = inspect.Signature(
        [p.replace(kind=inspect.Parameter.KEYWORD_ONLY) for p in parameters]
    )
    with_objects.__annotations__ = {p.name: p.annotation for p in parameters}
    return with_objects
