"""Shims: chosen exactly from the set on the bench, told, fitted, recorded."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

from assistant.dialogue.effects import about
from assistant.dialogue.estimating import estimate_of, for_the_ear, shown_value
from assistant.dialogue.gauging import gauge_in_hand, tool_in_hand
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.limit_words import limit_words
from assistant.dialogue.state import State
from assistant.dialogue.states import Blocked, Doing
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.shims import ShimStep
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import judge
from assistant.quantities.problem import Told
from assistant.quantities.propagation import COVERAGE, Estimate, Parts, UncertaintySource, weighted
from assistant.quantities.shims import ShimGap, ShimStack, ShimStock, choose_shims


def choose(turn: Turn, step: ShimStep) -> None:
    """Choose shims for the gap and tell them; the step blocks when the set has none that fit."""
    stack = shim_stack(turn, step)
    if not isinstance(stack, ShimStack):
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
        result=say(for_the_ear(shown_value(_left(turn, step, stack), step))),
        limits=limit_words(turn, step.limits),
    )
    _say_change(turn, step, stack)
    turn.ask("say_done", tone="plain")


def _say_change(turn: Turn, step: ShimStep, stack: ShimStack) -> None:
    """How much thicker or thinner than the shims that are in now."""
    change = _change(turn, step, stack)
    if change is None:
        return
    key = "shims_more" if change.value > 0 else "shims_less" if change.value < 0 else "shims_same"
    size = for_the_ear(Amount(abs(change.value), change.unit))
    turn.say(key, tone="readback", about=about(step.id, ""),
             change=turn.context.language.say_amount(size))  # fmt: skip


def _change(turn: Turn, step: ShimStep, stack: ShimStack) -> Amount | None:
    now = old_shims(turn.context.procedure, turn.state, step)
    if now is None:
        return None
    return Amount(stack.total.to(step.unit).value - now.amount.to(step.unit).value, step.unit)


def old_shims(procedure: Procedure, state: State, step: ShimStep) -> Estimate | None:
    """The thickness of the shims that are in now, and come out; None where it names none."""
    if step.present is None:
        return None
    before = procedure.step(step.present)
    if not isinstance(before, ShimStep):
        return estimate_of(procedure, state, step.present)
    shims = state.fitted.get(before.id)
    if shims is None:
        return None
    whole = Amount(sum((s.to(step.unit).value for s in shims), Fraction(0)), step.unit)
    return Estimate(whole, _stack_parts(procedure, state, before, shims))


def bare_gap(procedure: Procedure, state: State, step: ShimStep) -> Estimate | None:
    """The gap as it would be without any shim in it."""
    gap = estimate_of(procedure, state, step.gap)
    if gap is None or step.present is None:
        return gap
    old = old_shims(procedure, state, step)
    if old is None:
        return None
    old = old.to(gap.amount.unit)
    sign = Fraction(-1 if step.effect == "open" else 1)
    amount = Amount(gap.amount.value + sign * old.amount.value, gap.amount.unit)
    finest = min((s for s in (gap.step, old.step) if s), default=None)
    return Estimate(amount, weighted([(Fraction(1), gap.parts), (sign, old.parts)]), finest)


def _stack_parts(
    procedure: Procedure, state: State, step: ShimStep, shims: tuple[Amount, ...]
) -> Parts | None:
    """The uncertainty of a stack: that of its set, once for each shim."""
    own = tool_in_hand(state, step.stock)
    spread = gauge_in_hand(procedure, state, step.stock).uncertainty
    if spread is None and shims:
        return None
    box = step.stock if own is None else own.id
    return {
        UncertaintySource(box, f"{step.id} shim {i}"): spread.difference_to(step.unit) / COVERAGE
        for i in range(len(shims))
        if spread is not None
    }


def fitted(turn: Turn, step: ShimStep) -> None:
    """The builder has fitted them: from now on the result counts, and the box has them no more."""
    stack = shim_stack(turn, step)
    gap = estimate_of(turn.context.procedure, turn.state, step.gap)
    assert isinstance(stack, ShimStack)
    assert gap is not None
    left = _left(turn, step, stack)
    old = old_shims(turn.context.procedure, turn.state, step)
    turn.put(
        derived={**turn.state.derived, step.id: left.amount},
        fitted={**turn.state.fitted, step.id: stack.shims},
    )
    turn.record(
        ShimsChosen(
            step=step.id,
            quantity=step.quantity,
            gap=gap.amount,
            shims=stack.shims,
            total=stack.total,
            result=left.amount,
            limits=step.limits,
            effect=step.effect,
            shown=shown_value(left, step),
            judgement=judge(
                Indication("eq", left.amount), step.limits, step.unit, left.uncertainty, step.rule
            ),
            uncertainty=left.uncertainty,
            present=None if old is None else old.amount,
            change=_change(turn, step, stack),
        )
    )


def shimmed(
    procedure: Procedure, state: State, step: ShimStep, result: Amount, shims: tuple[Amount, ...]
) -> Estimate:
    """The gap that is left with ``shims`` in; of each shim the set's uncertainty goes into it."""
    gap = bare_gap(procedure, state, step)
    if gap is None:
        return Estimate(result)
    gap = gap.to(result.unit)
    stack = _stack_parts(procedure, state, step, shims)
    steps = [gap.step, *(shim.to(result.unit).resolution for shim in shims)]
    finest = min((s for s in steps if s), default=None)
    sign = Fraction(1 if step.effect == "open" else -1)
    return Estimate(result, weighted([(Fraction(1), gap.parts), (sign, stack)]), finest)


def _left(turn: Turn, step: ShimStep, stack: ShimStack) -> Estimate:
    result = stack.result.to(step.unit)
    return shimmed(turn.context.procedure, turn.state, step, result, stack.shims)


def digits_of(turn: Turn, step: ShimStep) -> Amount | None:
    """The gap that the chosen shims leave, as it was said; None when none fit."""
    stack = shim_stack(turn, step)
    if not isinstance(stack, ShimStack):
        return None
    return for_the_ear(shown_value(_left(turn, step, stack), step))


def shim_stack(turn: Turn, step: ShimStep) -> ShimStack | Told:
    """The shims for the gap as it was measured; what stands in the way when none fit."""
    gap = bare_gap(turn.context.procedure, turn.state, step)
    if gap is None:
        names = [step.gap] if step.present is None else [step.gap, step.present]
        titles = [turn.context.procedure.step(name).title for name in names]
        return turn.words("derived_missing", names=", ".join(titles))
    left = _left(turn, step, ShimStack((), Amount(Fraction(0), step.unit), gap.amount))
    if step.rule == "guarded" and left.uncertainty is None:
        return turn.words("guard_unknown_computed")
    stack = choose_shims(
        ShimGap(gap.amount, uncertainty=gap.uncertainty, opens=step.effect == "open"),
        step.limits,
        _stock(turn, step),
        guarded=step.rule == "guarded",
    )
    if not isinstance(stack, ShimStack) or step.rule != "guarded":
        return stack
    whole = _left(turn, step, stack)  # the shims' own uncertainty counts as well
    if whole.uncertainty is None:
        return turn.words("guard_unknown_computed")
    judged = judge(
        Indication("eq", whole.amount), step.limits, step.unit, whole.uncertainty, step.rule
    )
    return stack if judged.passes else turn.words("shims_too_uncertain")


def _stock(turn: Turn, step: ShimStep) -> list[ShimStock]:
    """What is left in the box: the set less what other steps of the session have fitted."""
    tool = tool_in_hand(turn.state, step.stock)
    if tool is not None:
        whole = list(tool.stock())
    else:
        counts: Counter[Amount] = Counter(turn.context.procedure.gauge(step.stock).members)
        whole = [ShimStock(size, count) for size, count in counts.items()]
    gone: Counter[Fraction] = Counter()
    box = _box(turn, step)
    fitting = [s for s in turn.context.procedure.steps if isinstance(s, ShimStep)]
    # what another stack takes the place of is back in the box
    out = {s.present for s in fitting if s.id in turn.state.fitted} | {step.present, step.id}
    for other in fitting:
        if _box(turn, other) == box and other.id not in out:
            gone.update(s.to("mm").value for s in turn.state.fitted.get(other.id, ()))
    left: list[ShimStock] = []
    for shim in whole:
        size = shim.size.to("mm").value
        taken = min(gone[size], shim.count)
        gone[size] -= taken
        left.append(ShimStock(shim.size, shim.count - taken))
    return left


def _box(turn: Turn, step: ShimStep) -> str:
    """Which box the shims of a step come out of: another may stand for the one called for."""
    tool = tool_in_hand(turn.state, step.stock)
    return step.stock if tool is None else tool.id
