"""A log: values read every so often, for a time, or until they have settled."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import ClassVar

from assistant.procedure.draft import StepDraft
from assistant.procedure.finding import Findings
from assistant.procedure.guess import TIMES, figures, times_in_digits
from assistant.procedure.kinds.kind import StepKind, Use
from assistant.procedure.kinds.log.checks import check_log
from assistant.procedure.kinds.log.model import LoggedValue, LogStep
from assistant.procedure.naming import limits_in_words, tool_name
from assistant.procedure.outline import Outline
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits

_EVERY = re.compile(r"\b(?:every|each)\s+(?:(\d+)\s+)?(hours?|minutes?|h|min)\b", re.I)
_LOG = re.compile(r"\b(log|record|note|read|write down|take|measure|check)\w*\b", re.I)


class LogKind(StepKind[LogStep]):
    """Rows of values, each due at its time."""

    kind = "log"
    also_called = ("run_in", "readings", "monitor")
    model = LogStep
    hands_on = True
    machine_runs = True
    nested: ClassVar = {"readings": LoggedValue}
    examples: ClassVar = {
        "every": "10 min", "for": "1 h", "settled": "within 1 degC over 20 min",
        "at_least": "40 min", "at_most": "2 h", "late": "2 min", "readings.gauge": "thermometer",
        "stop": "Press the stop button, and close the valve.",
    }  # fmt: skip
    also_known_as: ClassVar = {
        "interval": "every", "duration": "for", "during": "for", "until": "settled",
        "stable": "settled", "values": "readings", "measurements": "readings",
    }  # fmt: skip
    rank = 5

    def figures(self, procedure: Outline, step: LogStep) -> list[str]:
        """When what is read, with what, between which limits, and when it ends."""
        lines = [f"Log every {step.every} for {step.for_}."]
        if step.settled is not None:
            ends = f"Ends when settled {step.settled}, not before {_from(step)}"
            lines.append(f"{ends}, and after {_to(step)} at the latest.")
        for one in step.readings:
            value = step.value(one)
            lines.append(
                f"Read {one.quantity} in {one.unit} with {tool_name(procedure, one.gauge)}. "
                f"{limits_in_words(value)}"
            )
        return lines + ([f"When out of limits: {step.stop}"] if step.stop else [])

    def check(self, findings: Findings, step: LogStep) -> None:
        """Its times and its values."""
        check_log(findings, step)

    def start(self, draft: StepDraft) -> None:
        """Interval and time as the sentence states them, and one value to be named."""
        stated = figures(times_in_digits(draft.sentence))
        times = [low for low, high in stated if low.unit in TIMES and high is None]
        every = interval(draft.sentence)
        longest = [t for t in times if every is None or t.to("s").value > every.to("s").value]
        draft.step["every"] = str(every or "10 min")
        draft.step["for"] = str(longest[0] if longest else every or "10 min")
        draft.measured()
        value: dict[str, str] = {
            k: draft.step.pop(k) for k in ("unit", "lower", "upper") if k in draft.step
        }
        value["gauge"] = draft.gauge_for(value["unit"])
        draft.step["readings"] = [{"quantity": draft.step.pop("quantity"), **value}]
        draft.todo("every, for, the values with their gauges and limits, settled, stop")

    def sounds_like(self, sentence: str) -> bool:
        """It tells to read something every so often."""
        return interval(sentence) is not None and _LOG.search(sentence) is not None

    def uses(self, step: LogStep) -> Iterable[Use]:
        """The gauges."""
        for one in step.readings:
            yield Use("gauges", "readings", one.gauge)

    def gauges_in_value(self, step: LogStep) -> tuple[str, ...]:
        """The gauges."""
        return tuple(one.gauge for one in step.readings)

    def phrases(self, step: LogStep) -> Iterable[tuple[str, Sequence[str]]]:
        """The values, where there are several, by their names."""
        if len(step.readings) > 1:
            yield "readings", [one.quantity for one in step.readings]

    def texts(self, step: LogStep) -> Iterable[tuple[str, str]]:
        """What is said when a value is out, and the names of the values."""
        if step.stop:
            yield "stop", step.stop
        for one in step.readings:
            yield "readings", one.quantity

    def limits(self, step: LogStep) -> tuple[str, Limits] | None:
        """Those of a single value; several have no one pair of limits."""
        one = step.readings[0]
        only = len(step.readings) == 1
        return (one.quantity, step.value(one).limits) if only else None


def interval(sentence: str) -> Amount | None:
    """How often a sentence tells to do something; None where it does not."""
    found = _EVERY.search(times_in_digits(sentence))
    if found is None:
        return None
    count, unit = found.group(1) or "1", "h" if found.group(2).lower().startswith("h") else "min"
    return figures(f"{count} {unit}")[0][0]


def _from(step: LogStep) -> str:
    assert step.settled is not None
    return str(step.at_least or step.settled.over)


def _to(step: LogStep) -> str:
    return str(step.at_most) if step.at_most else f"twice {step.for_}"
