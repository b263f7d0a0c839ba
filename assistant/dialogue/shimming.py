"""Shims: chosen exactly from the set on the bench, told, fitted, recorded."""

from __future__ import annotations

from collections import Counter

from assistant.dialogue.deriving import single_value
from assistant.dialogue.facts import ShimsChosen
from assistant.dialogue.measuring import about, say_limits
from assistant.dialogue.state import Blocked, Doing
from assistant.dialogue.tooling import on_bench
from assistant.dialogue.turn import Turn
from assistant.procedure.models import ShimStep
from assistant.quantities.amount import Amount
from assistant.quantities.shims import ShimStack, ShimStock, choose_shims


def choose(turn: Turn, step: ShimStep) -> None:
    """Choose shims for the gap and tell them; the step blocks when the set has none that fit."""
    stack = shim_stack(turn, step)
    if isinstance(stack, str):
        turn.go(Blocked())
        turn.say("shims_none", tone="caution", why=stack)
        return
    say = turn.context.language.say_amount
    names = [say(s) for s in stack.shims] or [turn.words("shims_no_shim")]
    turn.go(Doing())
    turn.say(
        "shims_fit",
        tone="readback",
        about=about(step.id, ""),
        shims=turn.words("and").join(names),
        quantity=step.quantity,
        result=say(stack.result.to(step.unit)),
        limits=say_limits(turn, step),
    )
    turn.say("say_done")


def fitted(turn: Turn, step: ShimStep) -> None:
    """The builder has fitted them: from now on the result counts."""
    stack = shim_stack(turn, step)
    gap = single_value(turn, step.gap, "mean")
    assert isinstance(stack, ShimStack)
    assert gap is not None
    result = stack.result.to(step.unit)
    turn.put(derived={**turn.state.derived, step.id: result})
    turn.record(
        ShimsChosen(
            step=step.id,
            quantity=step.quantity,
            gap=gap,
            shims=stack.shims,
            total=stack.total,
            result=result,
            limits=step.limits,
        )
    )


def shim_stack(turn: Turn, step: ShimStep) -> ShimStack | str:
    """The shims for the gap as it was measured; a sentence when there are none that fit."""
    gap = single_value(turn, step.gap, "mean")
    if gap is None:
        return turn.words("derived_missing", names=turn.context.procedure.step(step.gap).title)
    return choose_shims(gap, step.limits, _stock(turn, step))


def _stock(turn: Turn, step: ShimStep) -> list[ShimStock]:
    tool = on_bench(turn, step.stock)
    if tool is not None:
        return list(tool.stock())
    counts: Counter[Amount] = Counter(turn.context.procedure.gauge(step.stock).members)
    return [ShimStock(size, count) for size, count in counts.items()]
