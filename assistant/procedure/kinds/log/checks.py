"""Whether the times of a log fit each other, and its values can be read and judged."""

from __future__ import annotations

from assistant.procedure.checks.gauged import check_gauged
from assistant.procedure.checks.limits import check_ends, check_fits, check_has_limit
from assistant.procedure.finding import Findings
from assistant.procedure.kinds.log.model import MOST_ROWS, LogStep
from assistant.quantities.amount import Amount
from assistant.quantities.units import same_dimension


def check_log(findings: Findings, step: LogStep) -> None:
    """Its times, when it has settled, and each of its values."""
    if _times_are_times(findings, step):
        _check_times(findings, step)
        _check_settled(findings, step)
    names = [one.quantity for one in step.readings]
    for index, one in enumerate(step.readings):
        below = findings.below("readings", index)
        value = step.value(one)
        if names.index(one.quantity) < index:
            below.error(
                step, f"'{one.quantity}' is read twice; give each value a name.", "quantity"
            )
        if check_fits(below, value):
            check_ends(below, value)
            check_has_limit(below, value)
        check_gauged(below, value)
    limited = any(one.lower or one.upper for one in step.readings)
    if limited and not step.stop:
        findings.warn(
            step,
            "A value may go out of limits while the machine runs; say in 'stop' how it is stopped.",
        )


def _times(step: LogStep) -> list[tuple[str, Amount]]:
    given = [("every", step.every), ("for", step.for_), ("late", step.late)]
    given += [("at_least", step.at_least), ("at_most", step.at_most)]
    if step.settled is not None:
        given.append(("settled", step.settled.over))
    return [(key, amount) for key, amount in given if amount is not None]


def _times_are_times(findings: Findings, step: LogStep) -> bool:
    sound = True
    for key, amount in _times(step):
        if not same_dimension(amount.unit, "s"):
            findings.error(step, f"'{key}' {amount} is no time; use s, min or h.", key)
            sound = False
        elif amount.value <= 0:
            findings.error(step, f"'{key}' {amount} is not above zero.", key)
            sound = False
    return sound


def _check_times(findings: Findings, step: LogStep) -> None:
    every = step.every.to("s").value
    for key, amount in _times(step):
        if key in ("every", "late"):
            continue
        times = amount.to("s").value / every
        if times.denominator != 1:
            findings.error(
                step, f"'{key}' {amount} is no whole number of intervals of {step.every}.", key
            )
        elif times > MOST_ROWS:
            findings.error(
                step, f"'{key}' {amount} gives more than {MOST_ROWS} rows; read less often.", key
            )
    if every < 60:
        findings.warn(
            step, f"A reading every {step.every} cannot be said and confirmed in time.", "every"
        )
    if step.late_s > every:
        findings.warn(step, "No reading is late before the next is due; lower 'late'.", "late")


def _check_settled(findings: Findings, step: LogStep) -> None:
    settled = step.settled
    if settled is None:
        for key in ("at_least", "at_most"):
            if getattr(step, key) is not None:
                findings.error(step, f"'{key}' means nothing without 'settled'.", key)
        return
    if settled.within.value <= 0:
        findings.error(step, f"'settled' within {settled.within} is never met.", "settled")
    if not step.watched():
        findings.error(
            step, f"No value of the log can differ by {settled.within}; fix 'settled'.", "settled"
        )
    if step.at_least is None:
        findings.warn(
            step,
            f"The log may end after {settled.over}, before anything has warmed up; give "
            "'at_least'.",
            "settled",
        )
    elif _above(step.at_least, step.for_):
        findings.error(step, "'at_least' is longer than 'for'.", "at_least")
    if step.at_most is not None and _above(step.for_, step.at_most):
        findings.error(step, "'at_most' is shorter than 'for'.", "at_most")
    if step.at_least is not None and _above(settled.over, step.at_least):
        findings.error(step, "'at_least' is shorter than the time of 'settled'.", "at_least")
    for index in step.watched():
        _check_gauge(findings, step, index)


def _check_gauge(findings: Findings, step: LogStep, index: int) -> None:
    """A gauge must show less than the change it is to tell."""
    one = step.readings[index]
    assert step.settled is not None
    within = step.settled.within.difference_to(one.unit)
    for gauge in findings.procedure.gauges:
        if gauge.id != one.gauge or not same_dimension(gauge.unit, one.unit):
            continue
        if gauge.resolution.difference_to(one.unit) > within:
            findings.error(
                step,
                f"The gauge '{gauge.id}' shows steps of {gauge.resolution}, and cannot tell a "
                f"change of {step.settled.within}.",
                *("readings", index, "gauge"),
            )


def _above(one: Amount, other: Amount) -> bool:
    return one.to("s").value > other.to("s").value
