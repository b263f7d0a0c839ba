"""Limits of a quantity and the verdict on an indication, exact at the limit."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from assistant.quantities.amount import Amount, Indication

Verdict = Literal["in", "out", "undecided", "no_limit"]
DecisionRule = Literal["simple", "guarded"]


@dataclass(frozen=True)
class Limits:
    """Permissible values: ``lower <= measurand <= upper``; either end may be missing."""

    lower: Amount | None = None
    upper: Amount | None = None

    @property
    def none(self) -> bool:
        """Whether there is nothing to judge by."""
        return self.lower is None and self.upper is None

    def __str__(self) -> str:
        if self.lower is not None and self.upper is not None:
            return f"{self.lower} to {self.upper}"
        if self.upper is not None:
            return f"at most {self.upper}"
        return f"at least {self.lower}" if self.lower is not None else "no limit"


@dataclass(frozen=True)
class Judgement:
    """Verdict on one indication; ``no_limit`` where there is nothing to judge by.

    ``margin`` is how far inside the nearer limit the indication lies, in the unit judged in
    (negative outside; None where the indication is one-sided or undecided); ``side`` names
    that nearer limit.
    """

    verdict: Verdict
    margin: Amount | None = None
    side: Literal["lower", "upper"] | None = None

    @property
    def passes(self) -> bool:
        """Whether work may continue with the value: nothing shows it to be out of limits."""
        return self.verdict in ("in", "no_limit")


def judge(
    indication: Indication,
    limits: Limits,
    unit: str,
    uncertainty: Amount | None = None,
    rule: DecisionRule = "simple",
) -> Judgement:
    """Judge ``indication`` against ``limits``, comparing exactly in ``unit``.

    Args:
        uncertainty: expanded uncertainty U of the indication. With rule ``guarded`` both limits
            are drawn in by U (guard-banded acceptance, ISO 14253-1 / JCGM 106:2012 8.3), so a
            value within U of a limit is ``undecided``; ``simple`` acceptance ignores it.
    """
    if limits.none:
        return Judgement("no_limit")
    low, high = indication.bounds(unit)
    lower = None if limits.lower is None else limits.lower.to(unit).value
    upper = None if limits.upper is None else limits.upper.to(unit).value
    guard = Fraction(0)
    if rule == "guarded" and uncertainty is not None:
        guard = abs(uncertainty.difference_to(unit))
    # A measurand of "less than x" cannot equal x: at the limit the open end decides.
    between = indication.relation == "between"
    open_high = not indication.upper_included if between else indication.relation == "lt"
    open_low = not indication.lower_included if between else indication.relation == "gt"
    inside = True
    outside = False
    if lower is not None:
        edge = lower + guard
        inside &= low is not None and (low >= edge)
        edge = lower - guard
        outside |= high is not None and (high < edge or (open_high and high <= edge))
    if upper is not None:
        edge = upper - guard
        inside &= high is not None and (high <= edge)
        edge = upper + guard
        outside |= low is not None and (low > edge or (open_low and low >= edge))
    verdict: Verdict = "out" if outside else "in" if inside else "undecided"
    if indication.relation != "eq" or low is None:
        return Judgement(verdict)
    gaps: list[tuple[Fraction, Literal["lower", "upper"]]] = []
    if lower is not None:
        gaps.append((low - lower, "lower"))
    if upper is not None:
        gaps.append((upper - low, "upper"))
    margin, side = min(gaps)
    return Judgement(verdict, Amount(margin, unit), side)
