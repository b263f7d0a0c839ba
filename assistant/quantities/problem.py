"""A problem that blocks the work, as data: a code and its parameters.

Its words are in ``grammars/<tag>/problems.yaml``.
"""

from __future__ import annotations

from typing import TypeAlias

from pydantic import BaseModel, ConfigDict


class Problem(BaseModel):
    """A problem by its ``code``; ``parameters`` fill the places in its words.

    A parameter that has words of its own, such as a kind of tool or the reason behind, is a
    problem too.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)

    code: str
    parameters: dict[str, str | Problem] = {}

    def __str__(self) -> str:
        """The code and the parameters; not for a builder's eyes or ears."""
        given = ", ".join(f"{name}={value}" for name, value in self.parameters.items())
        return f"{self.code}({given})"


Told: TypeAlias = Problem | str
"""A problem; or a sentence, as older records and errors from elsewhere have it."""


def problem(code: str, **parameters: object) -> Problem:
    """The problem ``code``; amounts, names and numbers are written out as text."""
    return Problem(
        code=code,
        parameters={
            name: value if isinstance(value, Problem) else str(value)
            for name, value in parameters.items()
        },
    )
