"""Wait: a time that must pass, for a cure or a soak."""

from __future__ import annotations

import re
from typing import ClassVar, Literal

from assistant.procedure.draft import StepDraft
from assistant.procedure.fields import Id, Quantity
from assistant.procedure.finding import Findings
from assistant.procedure.guess import TIMES, duration, figures, times_in_digits
from assistant.procedure.kinds.kind import StepKind
from assistant.procedure.naming import titles
from assistant.procedure.outline import Outline
from assistant.procedure.step import Step
from assistant.quantities.amount import Amount
from assistant.quantities.units import same_dimension

_WEEK_S = 7 * 24 * 3600
# A time that is the longest, not one that is waited.
_SOONER = re.compile(r"\b(within|at most|no more than|less than|under|up to|not over)\b", re.I)


class WaitStep(Step):
    """Cure or soak time. Only the steps in ``meanwhile`` may go on while it runs."""

    kind: Literal["wait"]
    duration: Quantity
    at_once: bool = False  # it starts when the step before is done; nobody has to say so
    meanwhile: tuple[Id, ...] = ()

    @property
    def waited(self) -> Amount:
        """Its duration."""
        return self.duration


class WaitKind(StepKind[WaitStep]):
    """A timer, and the steps that may go on meanwhile."""

    kind = "wait"
    also_called = ("cure", "timer", "soak", "settle")
    model = WaitStep
    hands_on = False
    examples: ClassVar = {"duration": "30 min"}
    also_known_as: ClassVar = {"time": "duration"}
    columns = frozenset({"duration"})
    rank = 4

    def figures(self, procedure: Outline, step: WaitStep) -> list[str]:
        """How long, and what may be done meanwhile."""
        meanwhile = ", ".join(titles(procedure, step.meanwhile)) or "nothing"
        at_once = " from the end of the step before" if step.at_once else ""
        return [f"Wait {step.duration}{at_once}. Meanwhile: {meanwhile}."]

    def check(self, findings: Findings, step: WaitStep) -> None:
        """The duration is a time that a workshop waits."""
        if step.picture:
            findings.error(step, "A wait has no picture; ask for it in another step.", "picture")
        if not same_dimension(step.duration.unit, "s"):
            findings.error(
                step, f"The duration {step.duration} is not a time; use s, min or h.", "duration"
            )
        elif step.duration.value <= 0:
            findings.error(step, "The duration is not above zero.", "duration")
        elif step.duration.to("s").value > _WEEK_S:
            findings.warn(step, f"The duration {step.duration} is over a week; is it?", "duration")

    def start(self, draft: StepDraft) -> None:
        """The duration that the row or its sentence states."""
        stated = duration(times_in_digits(draft.sentence))
        draft.step["duration"] = draft.cells.get("duration") or str(stated or "1 min")
        if "duration" not in draft.cells:
            draft.todo("whether that long is waited, and what may be done meanwhile")

    def sounds_like(self, sentence: str) -> bool:
        """It tells to wait, and for how long."""
        stated = figures(times_in_digits(sentence))
        return _SOONER.search(sentence) is None and any(low.unit in TIMES for low, _ in stated)

    def meanwhile(self, step: WaitStep) -> tuple[str, ...]:
        """The steps that may go on while it runs."""
        return step.meanwhile
