"""What go and no-go gauges tell: intervals that narrow with every blade tried.

A feeler blade or plug gauge that goes shows a gap or bore of at least its size. One that does not
go shows less than its size. A ring gauge tells the opposite about a shaft. "Goes" means goes by
hand with a light drag (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations, pairwise

from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import Limits, Verdict
from assistant.quantities.problem import Problem, problem


def ring_goes(size: Amount) -> Indication:
    """A ring gauge of ``size`` goes over the shaft: the shaft is ``size`` or less."""
    return Indication("le", size)


def ring_does_not_go(size: Amount) -> Indication:
    """A ring gauge of ``size`` does not go over the shaft: the shaft is over ``size``."""
    return Indication("gt", size)


def stacked(blades: Sequence[Amount]) -> Amount:
    """The size of blades put together, in the unit of the first; exact.

    Raises:
        ValueError: there is no blade.
    """
    if not blades:
        raise ValueError("A stack needs at least one blade; name them.")
    unit = blades[0].unit
    amounts = [blade.to(unit) for blade in blades]
    finest: Fraction | None = None
    resolutions = [a.resolution for a in amounts]
    if all(r is not None for r in resolutions):
        finest = min(r for r in resolutions if r is not None)
    return Amount(sum((a.value for a in amounts), Fraction(0)), unit, finest)


@dataclass(frozen=True)
class Evidence:
    """All that is known of one measurand, in ``unit``; an end may be missing or not included."""

    unit: str
    lower: Fraction | None = None
    upper: Fraction | None = None
    lower_included: bool = True
    upper_included: bool = True

    def with_(self, seen: Indication) -> Evidence | None:
        """This evidence and one observation more; None when they contradict each other."""
        low, high = seen.bounds(self.unit)
        between = seen.relation == "between"
        low_in = seen.lower_included if between else seen.relation != "gt"
        high_in = seen.upper_included if between else seen.relation != "lt"
        lower, lower_in = self.lower, self.lower_included
        if low is not None and (lower is None or low > lower or (low == lower and not low_in)):
            lower, lower_in = low, low_in
        upper, upper_in = self.upper, self.upper_included
        if high is not None and (upper is None or high < upper or (high == upper and not high_in)):
            upper, upper_in = high, high_in
        if (
            lower is not None
            and upper is not None
            and (lower > upper or (lower == upper and not (lower_in and upper_in)))
        ):
            return None
        return Evidence(self.unit, lower, upper, lower_in, upper_in)

    def verdict(self, limits: Limits, guard: Amount | None = None) -> Verdict:
        """``in`` or ``out`` when every value that is left is so, else ``undecided``.

        Without limits it is ``no_limit``. ``guard`` is the expanded uncertainty of the sizes of
        blades, plugs or rings: the measurand may lie that much beyond either end, so limits are
        guarded as in :func:`~assistant.quantities.limits.judge` (ISO 14253-1).
        """
        if limits.none:
            return "no_limit"
        if guard is not None:
            return self._wider(abs(guard.difference_to(self.unit))).verdict(limits)
        lower = None if limits.lower is None else limits.lower.to(self.unit).value
        upper = None if limits.upper is None else limits.upper.to(self.unit).value
        inside = (lower is None or (self.lower is not None and self.lower >= lower)) and (
            upper is None or (self.upper is not None and self.upper <= upper)
        )
        if inside:
            return "in"
        below = (
            lower is not None
            and self.upper is not None
            and (self.upper < lower or (self.upper == lower and not self.upper_included))
        )
        above = (
            upper is not None
            and self.lower is not None
            and (self.lower > upper or (self.lower == upper and not self.lower_included))
        )
        return "out" if below or above else "undecided"

    def _wider(self, by: Fraction) -> Evidence:
        return replace(
            self,
            lower=None if self.lower is None else self.lower - by,
            upper=None if self.upper is None else self.upper + by,
        )

    def indication(self) -> Indication | None:
        """The evidence as one indication, which ends are included too; None for no evidence."""
        lower = None if self.lower is None else Amount(self.lower, self.unit)
        upper = None if self.upper is None else Amount(self.upper, self.unit)
        if lower is not None and upper is not None:
            if lower == upper:
                return Indication("eq", lower)
            return Indication("between", lower, upper, self.lower_included, self.upper_included)
        if lower is not None:
            return Indication("ge" if self.lower_included else "gt", lower)
        if upper is not None:
            return Indication("le" if self.upper_included else "lt", upper)
        return None


def gathered(observations: Iterable[Indication], unit: str) -> Evidence | Problem:
    """All observations of one measurand together; a problem when they contradict."""
    known = Evidence(unit)
    before: list[Indication] = []
    for seen in observations:
        narrowed = known.with_(seen)
        if narrowed is None:
            told = " and ".join(str(one) for one in before)
            return problem("observations_contradict", seen=seen, before=told)
        known = narrowed
        before.append(seen)
    return known


def by_size(blades: Sequence[Amount]) -> list[Amount]:
    """The blades of a set, thinnest first."""
    return sorted(blades, key=lambda blade: blade.to("mm").value)


def sizes_of(blades: Sequence[Amount], most: int = 2) -> tuple[tuple[Amount, ...], ...]:
    """Every size that up to ``most`` different blades of a set give, smallest first.

    Each size is made with the fewest blades; every blade is there once.
    """
    best: dict[Fraction, tuple[Amount, ...]] = {}
    for number in range(1, most + 1):
        for stack in combinations(blades, number):
            best.setdefault(stacked(stack).to("mm").value, stack)
    return tuple(best[size] for size in sorted(best))


@dataclass(frozen=True)
class BladeSet:
    """The sizes of a set, of which up to ``stacked`` are tried together.

    With ``rings`` they are ring gauges, which go where the shaft is as large or smaller. With
    ``narrows`` the size itself is wanted as well, not the verdict alone.
    """

    sizes: Sequence[Amount]
    stacked: int = 1
    rings: bool = False
    narrows: bool = False


def next_blade(
    evidence: Evidence, limits: Limits, blades: BladeSet, guard: Amount | None = None
) -> tuple[Amount, ...] | None:
    """The blade, or stack of blades, to try next; None when none can tell more.

    Only sizes at which the verdict may change are tried, and of these the one in the middle, so
    that the fewest blades are needed whatever the gap turns out to be. Where the set ``narrows``,
    it is the one in the middle of those that are left within the limits. ``guard`` is the
    uncertainty that draws the limits in, as in :meth:`Evidence.verdict`.
    """
    ring = blades.rings
    if evidence.verdict(limits, guard) != "undecided":
        return None
    sized = [
        (stacked(s).to(evidence.unit).value, s) for s in sizes_of(blades.sizes, blades.stacked)
    ]
    open_ = [(size, stack) for size, stack in sized if _informs(evidence, size, ring)]
    cells = _verdicts(evidence, limits, [size for size, _ in open_], ring, guard)
    edges = [at for at, (below, above) in enumerate(pairwise(cells)) if below != above]
    if not edges:
        return None
    left = _within([size for size, _ in open_], evidence, limits, edges)
    left = left if blades.narrows and left else edges
    return open_[left[(len(left) - 1) // 2]][1]


def _within(
    sizes: Sequence[Fraction], evidence: Evidence, limits: Limits, edges: Sequence[int]
) -> Sequence[int]:
    """Which of the rising ``sizes`` lie within the limits: the gap, if it is good, is there.

    Without a limit at an end, as far as the last of ``edges``, where the verdict may change.
    """
    unit = evidence.unit
    lowest = sizes[edges[0]] if limits.lower is None else limits.lower.to(unit).value
    highest = sizes[edges[-1]] if limits.upper is None else limits.upper.to(unit).value
    return [at for at, size in enumerate(sizes) if lowest <= size <= highest]


def _informs(evidence: Evidence, size: Fraction, ring: bool) -> bool:
    """Whether it is open if a blade, or ring, of ``size`` goes."""
    if ring:
        below = evidence.lower is None or (
            evidence.lower < size or (evidence.lower == size and evidence.lower_included)
        )
        return below and (evidence.upper is None or evidence.upper > size)
    above = evidence.upper is None or (
        evidence.upper > size or (evidence.upper == size and evidence.upper_included)
    )
    return above and (evidence.lower is None or evidence.lower < size)


def _verdicts(
    evidence: Evidence,
    limits: Limits,
    sizes: Sequence[Fraction],
    ring: bool,
    guard: Amount | None,
) -> list[Verdict]:
    """The verdict on each cell into which ``sizes``, rising, cut what is left open.

    The size itself belongs to the cell above it with blades, to the one below with rings.
    """
    cells: list[Verdict] = []
    for low, high in pairwise([None, *sizes, None]):
        cell = evidence
        if low is not None:
            cell = replace(cell, lower=low, lower_included=not ring)
        if high is not None:
            cell = replace(cell, upper=high, upper_included=ring)
        cells.append(cell.verdict(limits, guard))
    return cells
