"""Which step comes next: prerequisites, conditions and running waits."""

from __future__ import annotations

from assistant.dialogue.holding import unanswered
from assistant.dialogue.state import State
from assistant.procedure.comparing import compares
from assistant.procedure.kinds import kind_of
from assistant.procedure.models import Procedure
from assistant.procedure.places import chosen, reference
from assistant.procedure.step import Step
from assistant.quantities.amount import Amount


def applies(step: Step, state: State, procedure: Procedure) -> bool | None:
    """Whether the step's condition holds; None while an answer it needs is still open."""
    condition = step.when
    if condition is None or unanswered(state, step.id):
        return True  # a value out of limits is not left out by answering otherwise
    verdicts: list[bool | None] = []
    if condition.variant:
        verdicts.append(None if state.variant is None else state.variant in condition.variant)
    if condition.parts is not None:
        verdicts.append(None if state.parts is None else state.parts == condition.parts)
    answers = [(asked, state.choices.get(asked), want) for asked, want in condition.choice.items()]
    answers += [(asked, _passed(asked, state), want) for asked, want in condition.reading.items()]
    for asked, wanted in condition.value.items():
        value = _value(asked, state, procedure)
        outcome = state.outcomes.get(reference(asked).step)
        holds = outcome == "done" and value is not None and compares(value, wanted)
        verdicts.append(None if outcome is None else holds)
    for asked, answer, want in answers:
        outcome = state.outcomes.get(asked)
        # A step that was left out or skipped gave no answer, so nothing may hang on it.
        verdicts.append(None if outcome is None else outcome == "done" and answer == want)
    if False in verdicts:
        return False
    return None if None in verdicts else True


def _value(source: str, state: State, procedure: Procedure) -> Amount | None:
    """The one value that ``source`` names; None where it has none, several, or a bound."""
    name, picks = reference(source)
    if name in state.derived:
        return state.derived[name]
    if name in state.logged:
        return state.logged[name].get(".".join(picks))
    step = next((s for s in procedure.steps if s.id == name), None)
    taken = None if step is None else step.source(picks)
    places = () if taken is None else chosen(taken[0].axes(procedure), taken[1], {})
    if len(places) != 1:
        return None
    if name in state.derived_at:
        return state.derived_at[name].get(places[0])
    value = state.values.get(name, {}).get(places[0])
    if value is None or value.indication.relation != "eq":
        return None
    return value.indication.amount


def _passed(step: str, state: State) -> str:
    # A value that was accepted as it is did not fail; one that the maker is asked about did.
    released, referred = state.released.get(step, ()), state.referred.get(step, ())
    accepted = set(released) - set(referred)
    values = state.values.get(step, {})
    return "in" if all(v.judgement.passes or p in accepted for p, v in values.items()) else "out"


def finished(step_id: str, state: State) -> bool:
    """Whether a prerequisite is met: done, skipped or left out, and its wait, if any, over.

    A tightening that was begun and left is not: half of its fasteners hold all of the load.
    """
    if step_id in state.part_way:
        return False
    return step_id in state.outcomes and step_id not in state.waits


def next_step(procedure: Procedure, state: State) -> Step | None:
    """The next step that may open now, in the order of the procedure.

    Steps come in order; while a wait runs, only the steps it names as ``meanwhile`` may open.
    Returns None when nothing may open now.
    """
    running = [s for s in procedure.steps if s.id in state.waits]
    for step in procedure.steps:
        if step.id in state.outcomes:
            continue
        if applies(step, state, procedure) is not True:
            continue
        allowed = all(step.id in kind_of(wait).meanwhile(wait) for wait in running)
        if allowed and all(finished(needed, state) for needed in step.after):
            return step
        if not running or kind_of(step).is_caution:
            return None  # order holds; and nothing overtakes a caution
    return None


def left_out(procedure: Procedure, state: State) -> tuple[Step, ...]:
    """Steps before the next one whose condition is now known to fail."""
    return tuple(
        s
        for s in procedure.steps
        if s.id not in state.outcomes and applies(s, state, procedure) is False
    )


def remaining(procedure: Procedure, state: State) -> tuple[Step, ...]:
    """Steps still to be done, as far as is known now."""
    return tuple(
        s
        for s in procedure.steps
        if s.id not in state.outcomes and applies(s, state, procedure) is not False
    )


def place_of(procedure: Procedure, state: State, step: Step) -> int:
    """The place of ``step`` among those that are not left out, counted from one."""
    before = procedure.steps[: procedure.steps.index(step)]
    return 1 + sum(not _ruled_out(s, state, procedure) for s in before)


def count_of(procedure: Procedure, state: State) -> int:
    """How many steps there are without those that are left out, as far as is known now."""
    return sum(not _ruled_out(s, state, procedure) for s in procedure.steps)


def _ruled_out(step: Step, state: State, procedure: Procedure) -> bool:
    known = state.outcomes.get(step.id)
    return known == "not_applicable" or (known is None and applies(step, state, procedure) is False)
