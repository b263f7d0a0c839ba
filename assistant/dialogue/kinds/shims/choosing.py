"""Shims: chosen exactly from the set on the bench, told, fitted, recorded."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.edition import LOOKS_AGAIN
from assistant.dialogue.effects import about
from assistant.dialogue.estimating import estimate_of, for_speech, shown_value
from assistant.dialogue.kinds.shims.box import box_of, stock_left
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.kinds.shims.filling import bare_gap, old_shims, shimmed
from assistant.dialogue.limit_words import limit_words
from assistant.dialogue.order import applies
from assistant.dialogue.states import Blocked, Doing
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.shims import ShimStep
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import judge
from assistant.quantities.problem import Told
from assistant.quantities.propagation import Estimate
from assistant.quantities.shim_pair import NoOtherStack, ShimSide, choose_pair
from assistant.quantities.shims import ShimGap, ShimStack, choose_shims


def choose(turn: Turn, step: ShimStep) -> None:
    """Choose shims for the gap and tell them; the step blocks when the set has none that fit."""
    stack = shim_stack(turn, step)
    before = {s: told for s, told in turn.state.told_shims.items() if s != step.id}
    turn.put(told_shims=before)
    turn.not_owed_at(step.id)
    if not isinstance(stack, ShimStack):
        turn.go(Blocked(turn.told(stack)))
        turn.say("shims_none", tone="caution", why=stack)
        return
    say = turn.context.language.say_amount
    turn.put(told_shims={**before, step.id: stack})
    turn.go(Doing())
    turn.say(
        "shims_fit",
        tone="readback",
        about=about(step.id, ""),
        shims=_names(turn, stack),
        quantity=step.quantity,
        result=say(for_speech(shown_value(_left(turn, step, stack), step))),
        limits=limit_words(turn, step.limits),
    )
    _say_change(turn, step, stack)
    kept = kept_for(turn, step)
    if kept is not None:
        other, shims = kept
        turn.say("shims_keep", tone="readback", title=other.title, shims=_names(turn, shims))
    turn.ask("say_done", tone="plain")


def _names(turn: Turn, stack: ShimStack) -> str:
    """The shims of a stack in words."""
    names = [turn.context.language.say_amount(s) for s in stack.shims]
    return turn.words("and").join(names or [turn.words("shims_no_shim")])


def _say_change(turn: Turn, step: ShimStep, stack: ShimStack) -> None:
    """How much thicker or thinner than the shims that are in now."""
    change = _change(turn, step, stack)
    if change is None:
        return
    key = "shims_more" if change.value > 0 else "shims_less" if change.value < 0 else "shims_same"
    size = for_speech(Amount(abs(change.value), change.unit))
    turn.say(key, tone="readback", about=about(step.id, ""),
             change=turn.context.language.say_amount(size))  # fmt: skip


def _change(turn: Turn, step: ShimStep, stack: ShimStack) -> Amount | None:
    now = old_shims(turn.context.procedure, turn.state, step)
    if now is None:
        return None
    return Amount(stack.total.to(step.unit).value - now.amount.to(step.unit).value, step.unit)


def fitted(turn: Turn, step: ShimStep) -> None:
    """The builder has fitted them: from now on the result counts, and the box has them no more.

    They are those that were told, whatever box is there by now.
    """
    stack = _told(turn, step)
    gap = estimate_of(turn.context.procedure, turn.state, step.gap)
    assert isinstance(stack, ShimStack)
    assert gap is not None
    left = _left(turn, step, stack)
    old = old_shims(turn.context.procedure, turn.state, step)
    change, kept = _change(turn, step, stack), kept_for(turn, step)
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
            change=change,
            kept_for="" if kept is None else kept[0].id,
        )
    )


def _told(turn: Turn, step: ShimStep) -> ShimStack | Told:
    told = turn.state.told_shims.get(step.id)
    if told is not None and turn.state.edition >= LOOKS_AGAIN:
        return told
    found = shim_stack(turn, step)
    return found if told is None or isinstance(found, ShimStack) else told


def _left(turn: Turn, step: ShimStep, stack: ShimStack) -> Estimate:
    result = stack.result.to(step.unit)
    return shimmed(turn.context.procedure, turn.state, step, result, stack.shims)


def digits_of(turn: Turn, step: ShimStep) -> Amount | None:
    """The gap that the chosen shims leave, as it was said; None when none fit."""
    stack = _told(turn, step)
    if not isinstance(stack, ShimStack):
        return None
    return for_speech(shown_value(_left(turn, step, stack), step))


def shim_stack(turn: Turn, step: ShimStep) -> ShimStack | Told:
    """The shims for the gap as it was measured; what stands in the way when none fit."""
    side = _side(turn, step)
    if not isinstance(side, ShimSide):
        return side
    stack = _in_pair(turn, step)
    if stack is None:
        stack = choose_shims(side.gap, side.limits, stock_left(turn, step), guarded=side.guarded)
    if not isinstance(stack, ShimStack) or not side.guarded:
        return stack
    whole = _left(turn, step, stack)  # the shims' own uncertainty counts as well
    if whole.uncertainty is None:
        return turn.words("guard_unknown_computed")
    judged = judge(
        Indication("eq", whole.amount), step.limits, step.unit, whole.uncertainty, step.rule
    )
    return stack if judged.passes else turn.words("shims_too_uncertain")


def _side(turn: Turn, step: ShimStep) -> ShimSide | Told:
    """The gap that is shimmed and its limits; what is missing."""
    gap = bare_gap(turn.context.procedure, turn.state, step)
    if gap is None:
        names = [step.gap] if step.present is None else [step.gap, step.present]
        titles = [turn.context.procedure.step(name).title for name in names]
        return turn.words("derived_missing", names=", ".join(titles))
    left = _left(turn, step, ShimStack((), Amount(Fraction(0), step.unit), gap.amount))
    if step.rule == "guarded" and left.uncertainty is None:
        return turn.words("guard_unknown_computed")
    return ShimSide(
        ShimGap(gap.amount, uncertainty=gap.uncertainty, opens=step.effect == "open"),
        step.limits,
        guarded=step.rule == "guarded",
    )


def kept_for(turn: Turn, step: ShimStep) -> tuple[ShimStep, ShimStack] | None:
    """The step that shims were chosen for together with ``step``, and its stack."""
    found = _pair(turn, step)
    if not isinstance(found, tuple) or step.together_with is None:
        return None
    other = turn.context.procedure.step(step.together_with)
    assert isinstance(other, ShimStep)
    return other, found[1]


def _in_pair(turn: Turn, step: ShimStep) -> ShimStack | Told | None:
    """The stack of ``step`` as one of two; None where it is chosen by itself.

    The second of the two gets what was kept for it, as long as that is still the best for both.
    """
    found = _pair(turn, step)
    if found is not None:
        return found[0] if isinstance(found, tuple) else found
    for first in turn.context.procedure.steps:
        if isinstance(first, ShimStep) and first.together_with == step.id:
            found = _pair(turn, first)
            as_fitted = turn.state.fitted.get(first.id)
            if isinstance(found, tuple) and found[0].shims == as_fitted:
                return found[1]
    return None


def _pair(turn: Turn, first: ShimStep) -> tuple[ShimStack, ShimStack] | Told | None:
    """The stacks of ``first`` and of the step it is chosen with; None where there is none.

    Nor where the other side is not known or does not apply, or has a box of its own.
    """
    if first.together_with is None:
        return None
    other = turn.context.procedure.step(first.together_with)
    assert isinstance(other, ShimStep)
    applied = applies(other, turn.state, turn.context.procedure)
    if applied is False or box_of(turn, first) != box_of(turn, other):
        return None
    one, two = _side(turn, first), _side(turn, other)
    if not (isinstance(one, ShimSide) and isinstance(two, ShimSide)):
        return None
    chosen = choose_pair(one, two, tuple(stock_left(turn, first, other)))
    if isinstance(chosen, NoOtherStack):
        return turn.words("shims_other_side", title=other.title, why=chosen.why)
    return chosen
