"""The stages of a tightening step, whichever way it is written.

``target`` with ``passes`` and ``angle`` are stages too: one for each pass, the last with the turn.
Everything that works with a step asks for its stages here.
"""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from typing import Literal, assert_never

from assistant.procedure.kinds.tightening.model import Stage, TighteningStep
from assistant.quantities.amount import Amount
from assistant.quantities.patterns import Pattern, pattern_order

Work = Literal["torque", "turn", "loosen", "check"]
"""What is done to each fastener of a stage; ``torque`` may be followed by a turn at once."""


def stages_of(step: TighteningStep) -> tuple[Stage, ...]:
    """The stages of the step in order, each with its torque in full."""
    if step.stages or step.target is None:
        return step.stages
    return _of_passes(step.target, step.passes, (step.angle, step.minimum, step.up_to))


@lru_cache(maxsize=256)  # they are asked for many times at every fastener
def _of_passes(
    target: Amount,
    passes: tuple[Decimal, ...],
    at_the_end: tuple[Amount | None, bool, Amount | None],
) -> tuple[Stage, ...]:
    last = len(passes) - 1
    angle, minimum, up_to = at_the_end
    return tuple(
        Stage(
            torque=Amount(target.value * Fraction(share), target.unit),
            turn=angle if index == last else None,
            minimum=minimum and index == last,
            up_to=up_to if index == last else None,
        )
        for index, share in enumerate(passes)
    )


def work_of(stage: Stage) -> Work:
    """What is done to each fastener of the stage."""
    if stage.torque is not None:
        return "torque"
    if stage.check is not None:
        return "check"
    return "loosen" if stage.loosen is not None else "turn"


def runs_of(stages: tuple[Stage, ...]) -> Iterator[list[int]]:
    """The indices of the torque stages, in runs: loosening begins a new one."""
    run: list[int] = []
    for index, stage in enumerate(stages):
        match work_of(stage):
            case "loosen":
                if run:
                    yield run
                run = []
            case "torque":
                run.append(index)
            case "turn" | "check":
                pass
            case other:
                assert_never(other)
    if run:
        yield run


def last_torque(step: TighteningStep) -> int | None:
    """The index of the stage that gives the final torque; None of a step without a torque."""
    return next((r[-1] for r in reversed(list(runs_of(stages_of(step))))), None)


def target_of(step: TighteningStep) -> Amount:
    """The final torque; a turn may follow it.

    Raises:
        ValueError: the step has none, which the check refuses.
    """
    if step.target is not None:
        return step.target
    index = last_torque(step)
    found = None if index is None else step.stages[index].torque
    if found is None:
        raise ValueError(f"The step '{step.id}' has no torque.")
    return found


def turn_of(step: TighteningStep) -> Amount | None:
    """By how much all fasteners are turned on in the end, since they were loosened last."""
    turns: list[Amount] = []
    for stage in stages_of(step):
        if stage.loosen is not None:
            turns = []
        if stage.turn is not None:
            turns.append(stage.turn)
    return added(turns)


def added(turns: list[Amount]) -> Amount | None:
    """Several turns as one, in the unit of the first; None of no turn."""
    if not turns:
        return None
    unit = turns[0].unit
    return Amount(sum((t.to(unit).value for t in turns), Fraction(0)), unit)


def pattern_at(step: TighteningStep, index: int) -> Pattern:
    """The pattern of a stage: its own, or that of the step."""
    return stages_of(step)[index].pattern or step.pattern


def order_at(step: TighteningStep, index: int) -> tuple[str, ...]:
    """The fastener labels in the order of a stage."""
    places = pattern_order(pattern_at(step, index), len(step.fasteners))
    return tuple(step.fasteners[place] for place in places)
