"""A value that is read, and its gauge: whether the gauge is fine enough for the limits."""

from __future__ import annotations

from fractions import Fraction

from assistant.procedure.finding import Findings
from assistant.procedure.listed import Gauge
from assistant.procedure.step import GaugedStep
from assistant.quantities.amount import Amount
from assistant.quantities.propagation import suits
from assistant.quantities.units import same_dimension


def check_gauged(findings: Findings, step: GaugedStep) -> None:
    """The plausible band is closed, and the gauge is fit for the limits."""
    if step.misfits():
        return  # told with the limits
    if None in (step.plausible_low, step.plausible_high):
        findings.warn(
            step,
            "The plausible band is not closed, so a misheard value may pass without a question; "
            "give 'plausible_low' and 'plausible_high'.",
        )
    for gauge in findings.procedure.gauges:
        if gauge.id == step.gauge:
            _check_with_gauge(findings, step, gauge)


def _check_with_gauge(findings: Findings, step: GaugedStep, gauge: Gauge) -> None:
    if not same_dimension(gauge.unit, step.unit):
        findings.error(
            step,
            f"The gauge '{gauge.id}' reads {gauge.unit}, but the step's unit is {step.unit}.",
            "gauge",
        )
        return
    amounts = (gauge.resolution, gauge.lower, gauge.upper, gauge.uncertainty)
    if not all(a is None or suits(a.unit, step.unit) for a in amounts):
        return  # already told of the gauge itself
    for key, low, high in (
        ("lower", step.lower, gauge.lower),
        ("upper", gauge.upper, step.upper),
        ("lower", gauge.upper, step.lower),
        ("upper", step.upper, gauge.lower),
    ):
        if step.around is None and _is_below(low, high, step.unit):
            findings.warn(
                step,
                f"The {key} limit is outside the range of gauge '{gauge.id}'; choose another.",
                key,
            )
            break
    _check_resolution(findings, step, gauge)
    _check_guard(findings, step, gauge)


def _is_below(low: Amount | None, high: Amount | None, unit: str) -> bool:
    return low is not None and high is not None and low.to(unit).value < high.to(unit).value


def _width(step: GaugedStep) -> Fraction | None:
    """The tolerance in the step's unit; from zero to the limit when there is only one."""
    ends = [a.to(step.unit).value for a in (step.lower, step.upper) if a is not None]
    if len(ends) == 2:
        return ends[1] - ends[0] if ends[1] > ends[0] else None
    return abs(ends[0]) if ends and ends[0] != 0 else None


def _size(amount: Amount, unit: str) -> Fraction:
    """A difference such as a resolution in ``unit``, without the offset of a temperature."""
    return amount.difference_to(unit)


def _check_resolution(findings: Findings, step: GaugedStep, gauge: Gauge) -> None:
    """Ten graduations to the tolerance (common practice, no source), never under four.

    Four to one is the ratio of ANSI/NCSL Z540-1 (from memory), there between the tolerance and
    the uncertainty of the measurement.
    """
    resolution, width = _size(gauge.resolution, step.unit), _width(step)
    if resolution <= 0 or width is None:
        return
    if gauge.kind == "feeler" and gauge.members:
        _check_blades(findings, step, gauge)
        return
    ratio = width / resolution
    if ratio < 4:
        findings.warn(
            step,
            f"The gauge '{gauge.id}' is far too coarse: its resolution goes only "
            f"{float(ratio):.2g} times into the tolerance, and less than four cannot be judged; "
            "use a finer gauge.",
            "gauge",
        )
    elif ratio < 10:
        findings.warn(
            step,
            f"The gauge '{gauge.id}' is coarse: its resolution goes {float(ratio):.2g} times into "
            "the tolerance, and ten is the rule of thumb.",
            "gauge",
        )
    if step.around is not None:
        return
    for key, limit in (("lower", step.lower), ("upper", step.upper)):
        if limit is not None and (limit.to(step.unit).value / resolution).denominator != 1:
            findings.warn(
                step, f"The {key} limit {limit} falls between two marks of '{gauge.id}'.", key
            )


def _check_blades(findings: Findings, step: GaugedStep, gauge: Gauge) -> None:
    """Blades have no graduations: a limit can be judged if one blade, or two together, has it."""
    sizes = {m.to(step.unit).value for m in gauge.members if same_dimension(m.unit, step.unit)}
    pairs = {a + b for a in sizes for b in sizes}
    for key, limit in (("lower", step.lower), ("upper", step.upper)):
        if limit is None or step.around is not None or limit.value == 0:
            continue
        if limit.to(step.unit).value not in sizes | pairs:
            findings.warn(
                step,
                f"No blade of '{gauge.id}', nor two of them together, is {limit}; a gap near the "
                f"{key} limit cannot be decided.",
                key,
            )


def _check_guard(findings: Findings, step: GaugedStep, gauge: Gauge) -> None:
    if step.rule != "guarded":
        return
    if gauge.uncertainty is None:
        findings.error(
            step,
            f"The rule is 'guarded', but gauge '{gauge.id}' states no uncertainty, so nothing is "
            "guarded; state it (expanded, k = 2).",
            "rule",
        )
        return
    if step.lower is None or step.upper is None:
        return
    width = _width(step)
    if width is not None and 2 * _size(gauge.uncertainty, step.unit) >= width:
        findings.error(
            step,
            f"The uncertainty {gauge.uncertainty} of gauge '{gauge.id}' leaves nothing between "
            "the guarded limits; use a finer gauge.",
            "rule",
        )
