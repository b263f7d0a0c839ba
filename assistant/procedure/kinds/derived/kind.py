"""Derived value: computed from earlier readings by a formula."""

from __future__ import annotations

from collections.abc import Iterable
from typing import ClassVar

from assistant.procedure.adjusting import Remedy
from assistant.procedure.draft import StepDraft
from assistant.procedure.finding import Findings
from assistant.procedure.guess import RATES, figures, fit
from assistant.procedure.kinds.derived.checks import check_derived
from assistant.procedure.kinds.derived.model import DerivedStep
from assistant.procedure.kinds.derived.runout import check_runout
from assistant.procedure.kinds.kind import StepKind
from assistant.procedure.naming import limits_in_words, titles
from assistant.procedure.outline import Outline
from assistant.procedure.places import reference
from assistant.quantities.limits import Limits
from assistant.shown_text import id_in_words


class DerivedKind(StepKind[DerivedStep]):
    """Its inputs, its formula and what it yields."""

    kind = "derived"
    also_called = ("computed", "calculated", "calculation", "formula")
    model = DerivedStep
    hands_on = False
    rank = 7
    nested: ClassVar = {"on_high": Remedy, "on_low": Remedy}
    examples: ClassVar = {"formula": "bore - journal"}

    def figures(self, procedure: Outline, step: DerivedStep) -> list[str]:
        """Formula, inputs and limits."""
        names = ", ".join(f"{n} = {told}" for n, told in inputs_in_words(procedure, step).items())
        each = f"For each {id_in_words(step.each)}: " if step.each else ""
        return [
            f"{each}{step.quantity} in {step.unit} = {step.formula}, where {names}.",
            limits_in_words(step),
            *step.in_words(),
        ]

    def check(self, findings: Findings, step: DerivedStep) -> None:
        """Inputs come earlier and have a value; the formula yields the step's unit."""
        check_derived(findings, step)
        check_runout(findings, step)

    def start(self, draft: StepDraft) -> None:
        """A formula to be written."""
        draft.measured()
        draft.step |= {"formula": "a", "inputs": {"a": "todo_name_a_measurement"}}
        draft.todo("formula and inputs")

    def sounds_like(self, sentence: str) -> bool:
        """It names a fit of two parts, or how fast a temperature may rise."""
        rates = any(low.unit in RATES for low, _ in figures(sentence))
        return rates or "/" in (fit(sentence) or "")

    def inputs(self, step: DerivedStep) -> tuple[str, ...]:
        """The steps that its formula takes."""
        return tuple(dict.fromkeys(reference(source).step for source in step.inputs.values()))

    def texts(self, step: DerivedStep) -> Iterable[tuple[str, str]]:
        """What to adjust."""
        return ((key, remedy.say) for key, remedy in step.remedies().items())

    def limits(self, step: DerivedStep) -> tuple[str, Limits]:
        """Those of the value."""
        return step.quantity, step.limits


def inputs_in_words(procedure: Outline, step: DerivedStep) -> dict[str, str]:
    """What each name in the formula of ``step`` stands for: ``mean of Cap gap``."""
    return {n: _input_in_words(procedure, step, source) for n, source in step.inputs.items()}


def _input_in_words(procedure: Outline, step: DerivedStep, source: str) -> str:
    """``mean of Cap gap``; one value is itself."""
    name, picks = reference(source)
    title = titles(procedure, (name,))[0] + (f", {' '.join(picks)}" if picks else "")
    return title if step.each or picks else f"{id_in_words(step.combine)} of {title}"
