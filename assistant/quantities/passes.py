"""Tightening in passes: what to set for each, and in which order to go round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from assistant.quantities.amount import Amount
from assistant.quantities.patterns import Pattern, pattern_order
from assistant.quantities.wrench import (
    Adapter,
    ScaleSetting,
    TighteningError,
    WantedTorque,
    WrenchScale,
    default_tolerance,
    wrench_setting,
)


@dataclass(frozen=True)
class PassTarget:
    """One pass: its number from 1, its share of the target, the setting, and the order."""

    number: int
    share: Fraction
    setting: ScaleSetting
    order: tuple[int, ...]


@dataclass(frozen=True)
class TighteningSequence:
    """Rounds over ``count`` fasteners in the order of ``pattern``, each at a share of the target.

    ``shares`` rise to 1.
    """

    shares: Sequence[Decimal | Fraction]
    pattern: Pattern
    count: int


def pass_plan(
    wanted: WantedTorque,
    sequence: TighteningSequence,
    scale: WrenchScale,
    adapter: Adapter | None = None,
) -> tuple[PassTarget, ...]:
    """Plan the passes of ``sequence``, each at a share of the wanted torque.

    The prevailing torque is added whole to every pass, since the locking nut drags from the
    first. The tolerance (see :func:`wrench_setting`) binds the last pass. An earlier one only draws
    the joint together: it may be off by as much, or by a tenth of the whole target where that is
    more, and has to come to a mark under the last.

    Raises:
        TighteningError: shares that do not rise to 1, or a torque that the wrench cannot give.
    """
    target, tolerance = wanted.target, wanted.tolerance
    parts = [Fraction(share) for share in sequence.shares]
    if not parts or parts[-1] != 1 or parts[0] <= 0:
        raise TighteningError("passes_end_whole")
    if any(b <= a for a, b in pairwise(parts)):
        raise TighteningError("passes_rise")
    order = pattern_order(sequence.pattern, sequence.count)
    early = default_tolerance(target)
    if tolerance is not None and tolerance.to(target.unit).value > early.value:
        early = tolerance
    plan: list[PassTarget] = []
    for number, share in enumerate(parts, start=1):
        part = WantedTorque(
            Amount(target.value * share, target.unit),
            tolerance if share == 1 else early,
            wanted.prevailing,
        )
        setting = wrench_setting(part, scale, adapter)
        if plan and setting.setting.value <= plan[-1].setting.setting.value:
            raise TighteningError("passes_same_mark", one=number - 1, other=number)
        plan.append(PassTarget(number, share, setting, order))
    return tuple(plan)
