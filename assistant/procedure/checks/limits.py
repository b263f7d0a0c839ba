"""Limits and plausible bands of every step that has a value, and the gauges that are listed."""

from __future__ import annotations

from fractions import Fraction

from assistant.procedure.finding import Findings
from assistant.procedure.listed import Gauge
from assistant.procedure.step import LimitedStep
from assistant.quantities.amount import Amount
from assistant.quantities.fits import is_pair, limits_of
from assistant.quantities.propagation import suits
from assistant.quantities.units import same_dimension


def check_limits(findings: Findings) -> None:
    """Dimensions, limits upside down, plausible bands, and what is listed of the gauges."""
    for index, gauge in enumerate(findings.procedure.gauges):
        _check_gauge(findings, index, gauge)
    for step in findings.procedure.steps:
        if isinstance(step, LimitedStep) and check_fits(findings, step):
            check_ends(findings, step)
            _check_fit(findings, step)


def _check_fit(findings: Findings, step: LimitedStep) -> None:
    if step.fit is None:
        return
    named = limits_of(step.fit)
    if [_exact(a) for a in (step.lower, step.upper)] != [_exact(named.lower), _exact(named.upper)]:
        findings.error(
            step,
            f"The limits are not those of {step.fit}, which are {named}; give one or the other.",
            "fit",
        )
    if step.heard and is_pair(step.fit):
        findings.error(
            step,
            f"'{step.fit}' is a hole and a shaft; a reading is of one of them, such as "
            f"'{step.fit.split('/')[0].strip()}'. Its clearance is a derived value.",
            "fit",
        )


def _exact(limit: Amount | None) -> Fraction | None:
    return None if limit is None else limit.to("mm").value


def _check_gauge(findings: Findings, index: int, gauge: Gauge) -> None:
    amounts = {
        "resolution": gauge.resolution,
        "lower": gauge.lower,
        "upper": gauge.upper,
        "uncertainty": gauge.uncertainty,
    }
    amounts |= {f"members {i + 1}": m for i, m in enumerate(gauge.members)}
    fitting = True
    for key, amount in amounts.items():
        # steps and uncertainties are differences, which of temperatures have units of their own
        fits = suits if key in ("resolution", "uncertainty") else same_dimension
        if amount is not None and not fits(amount.unit, gauge.unit):
            fitting = False
            findings.error(
                None,
                f"{key} {amount} of gauge '{gauge.id}' does not fit its unit {gauge.unit}.",
                *("gauges", index, key.split()[0]),
            )
    if not fitting:
        return
    if gauge.resolution.value <= 0:
        findings.error(
            None,
            f"The resolution of gauge '{gauge.id}' is not above zero.",
            *("gauges", index, "resolution"),
        )
    if _above(gauge.lower, gauge.upper, gauge.unit):
        findings.error(
            None, f"The range of gauge '{gauge.id}' is upside down.", "gauges", index, "lower"
        )


def _above(low: Amount | None, high: Amount | None, unit: str) -> bool:
    return low is not None and high is not None and low.to(unit).value > high.to(unit).value


def check_fits(findings: Findings, step: LimitedStep) -> bool:
    """Whether limits and plausible band measure what the step does."""
    for key in step.misfits():
        findings.error(
            step, f"'{key}' {getattr(step, key)} does not fit the step's unit {step.unit}.", key
        )
    return not step.misfits()


def check_has_limit(findings: Findings, step: LimitedStep) -> None:
    """A limit on one side at least."""
    if step.lower is None and step.upper is None:
        findings.warn(step, "The value has no limit, so nothing judges it; give one if there is.")


def check_ends(findings: Findings, step: LimitedStep) -> None:
    """Limits upside down or equal, and a plausible band that does not hold them."""
    if _above(step.lower, step.upper, step.unit):
        findings.error(
            step,
            f"The limits are upside down: lower {step.lower}, upper {step.upper}; swap them.",
            "lower",
        )
    elif step.lower is not None and step.upper is not None and not _above(
        step.upper, step.lower, step.unit
    ):  # fmt: skip
        findings.warn(step, f"Both limits are {step.lower}; nothing else would pass.", "lower")
    if _above(step.plausible_low, step.plausible_high, step.unit):
        findings.error(step, "The plausible band is upside down; swap its ends.", "plausible_low")
        return
    if getattr(step, "around", None) is not None:
        return  # its limits are differences from an earlier value
    if _above(step.plausible_low, step.lower, step.unit) or _above(
        step.plausible_low, step.upper, step.unit
    ):
        findings.error(
            step,
            f"Values within the limits are below 'plausible_low' {step.plausible_low}; widen it.",
            "plausible_low",
        )
    if _above(step.upper, step.plausible_high, step.unit) or _above(
        step.lower, step.plausible_high, step.unit
    ):
        findings.error(
            step,
            f"Values within the limits are above 'plausible_high' {step.plausible_high}; widen it.",
            "plausible_high",
        )
