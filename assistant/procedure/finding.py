"""What the linter says: one finding about the meaning of a procedure."""

from __future__ import annotations

from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Literal

from assistant.procedure.outline import Outline
from assistant.procedure.step import Step
from assistant.procedure.yaml_source import Loc

Severity = Literal["error", "warning"]


@dataclass(frozen=True)
class Finding:
    """One finding. An ``error`` keeps the procedure off the bench; a ``warning`` wants a look.

    ``step`` is a step id, or empty for the procedure as a whole; ``loc`` is its place in the
    file; ``line`` counts from 1, or is 0 when the procedure was not read from a file.
    """

    level: Severity
    step: str
    message: str
    loc: Loc = ()
    line: int = 0

    def __str__(self) -> str:
        where = f"line {self.line}: " if self.line else ""
        step = f"step '{self.step}': " if self.step else ""
        return f"{where}{self.level}: {step}{self.message}"


@dataclass
class Findings:
    """Collects findings on ``procedure``; the checks speak through it."""

    procedure: Outline
    found: list[Finding] = field(default_factory=list)
    _below: Loc = ()

    def below(self, *loc: str | int) -> Findings:
        """The same findings, for a part of a step that lies at ``loc`` below it."""
        return Findings(self.procedure, self.found, (*self._below, *loc))

    def error(self, step: Step | None, message: str, *loc: str | int) -> None:
        """Note an error at ``loc`` below ``step`` (or below the procedure)."""
        self._add("error", step, message, loc)

    def warn(self, step: Step | None, message: str, *loc: str | int) -> None:
        """Note a warning at ``loc`` below ``step`` (or below the procedure)."""
        self._add("warning", step, message, loc)

    def _add(self, level: Severity, step: Step | None, message: str, loc: Loc) -> None:
        if step is None:
            self.found.append(Finding(level, "", message, loc))
            return
        index = [s.id for s in self.procedure.steps].index(step.id)
        place = ("steps", index, *self._below, *loc)
        self.found.append(Finding(level, step.id, message, place))


def suggestion(wrong: str, known: list[str], what: str) -> str:
    """``did you mean 'x'?`` or a list of what there is."""
    near = get_close_matches(wrong, known, n=1, cutoff=0.6)
    if near:
        return f"did you mean '{near[0]}'?"
    return f"use one of: {', '.join(known)}." if known else f"the procedure lists no {what}."
