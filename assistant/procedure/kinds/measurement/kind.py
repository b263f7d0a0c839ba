"""Measurement: a value read off a gauge and spoken."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import ClassVar

from assistant.procedure.adjusting import Remedy
from assistant.procedure.draft import StepDraft
from assistant.procedure.finding import Findings
from assistant.procedure.guess import TIMES, TORQUES, figures, fit, limits
from assistant.procedure.kinds.kind import StepKind, Use
from assistant.procedure.kinds.measurement.checks import check_measurement
from assistant.procedure.kinds.measurement.model import MeasurementStep
from assistant.procedure.naming import limits_in_words, titles, tool_name
from assistant.procedure.outline import Outline
from assistant.procedure.places import reference
from assistant.quantities.limits import Limits

_MEASURE = re.compile(r"\s*measure (the|its|each|both|all)\b", re.I)
_LIKE = re.compile(r"\b(measure|check|read|gauge|adjust|set)\b.*\d", re.I)
_IS = re.compile(r"\b(is|are|be)\b", re.I)
_UNTIL = re.compile(r"\b(re-?)?adjust\w*\b|\buntil\b", re.I)


class MeasurementKind(StepKind[MeasurementStep]):
    """Readings at one or more positions."""

    kind = "measurement"
    also_called = ("measure", "reading", "gauging")
    model = MeasurementStep
    hands_on = True
    nested: ClassVar = {"on_high": Remedy, "on_low": Remedy}
    also_known_as: ClassVar = {"places": "positions", "instrument": "gauge"}
    columns = frozenset({"lower", "upper", "gauge", "unit"})
    rank = 1

    def figures(self, procedure: Outline, step: MeasurementStep) -> list[str]:
        """What is measured, where, with what, and the limits."""
        places = f" at {', '.join(step.named_places)}" if step.lists else ""
        return [
            f"Measure {step.quantity} in {step.unit}{places}"
            f" with {tool_name(procedure, step.gauge)}.",
            _limits(procedure, step),
            *step.in_words(),
        ]

    def check(self, findings: Findings, step: MeasurementStep) -> None:
        """Its plausible band and its gauge."""
        check_measurement(findings, step)

    def start(self, draft: StepDraft) -> None:
        """Unit and limits as stated, and a gauge for them."""
        draft.measured()
        unit = draft.step["unit"]
        draft.step["gauge"] = draft.gauge_for(unit)
        draft.todo("quantity, gauge, plausible band")
        if _UNTIL.search(draft.sentence):
            draft.todo("what is adjusted, how often, and which step is done again")
            draft.step |= {"until": "in", "adjust": "TODO what to adjust"}

    def sounds_like(self, sentence: str) -> bool:
        """It tells to measure, and states a size."""
        units = {low.unit for low, _ in figures(sentence)} - TIMES
        if fit(sentence) is not None:
            return _LIKE.search(sentence) is not None or _IS.search(sentence) is not None
        limited = bool(units - {"deg"}) and limits(sentence) != (None, None)
        if not units and _MEASURE.match(sentence):
            return True
        if units <= TORQUES:
            return limited  # a torque that is tightened to is taken before
        return _LIKE.search(sentence) is not None or limited

    def uses(self, step: MeasurementStep) -> Iterable[Use]:
        """The gauge."""
        yield Use("gauges", "gauge", step.gauge)

    def gauges_in_value(self, step: MeasurementStep) -> tuple[str, ...]:
        """The gauge."""
        return (step.gauge,)

    def phrases(self, step: MeasurementStep) -> Iterable[tuple[str, Sequence[str]]]:
        """The positions."""
        yield "grid" if step.grid else "positions", step.named_places

    def texts(self, step: MeasurementStep) -> Iterable[tuple[str, str]]:
        """What to adjust."""
        return ((key, remedy.say) for key, remedy in step.remedies().items())

    def limits(self, step: MeasurementStep) -> tuple[str, Limits]:
        """Those of the reading."""
        return step.quantity, step.limits


def _limits(procedure: Outline, step: MeasurementStep) -> str:
    """The limits in a sentence, with the value that they are counted from."""
    told = limits_in_words(step)
    if step.around is None:
        return told
    name, picks = reference(step.around)
    return f"{told} Counted from: {' '.join([*titles(procedure, (name,)), *picks])}."
