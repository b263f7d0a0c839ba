"""Walks a procedure through every combination of answers, with the dialogue's own order rules."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import product

from assistant.dialogue.order import left_out, next_step, remaining
from assistant.dialogue.state import State, Value
from assistant.procedure.kinds.choice import ChoiceStep
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.kinds.wait import WaitStep
from assistant.procedure.models import Procedure
from assistant.quantities.limits import Judgement, Verdict
from tests.quantities.kit import exactly


@dataclass(frozen=True)
class Walk:
    """What happened: steps opened in order, steps left out, and steps that never opened."""

    opened: tuple[str, ...]
    left_out: tuple[str, ...]
    stuck: tuple[str, ...]


def walks(procedure: Procedure) -> Iterator[Walk]:
    """One walk for each variant, parts condition, choice of option and verdict of a reading."""
    asked = {s.id: [o.id for o in s.options] for s in procedure.steps if isinstance(s, ChoiceStep)}
    judged = [s.id for s in procedure.steps if isinstance(s, MeasurementStep)]
    used = {k for s in procedure.steps if s.when is not None for k in s.when.reading}
    judged = [s for s in judged if s in used]
    applicability = procedure.applicability
    for variant, parts, choices, verdicts in product(
        applicability.variants or (None,),
        applicability.parts,
        product(*asked.values()),
        product(("in", "out"), repeat=len(judged)),
    ):
        yield _walk(
            procedure,
            State(variant=variant, parts=parts),
            dict(zip(asked, choices, strict=True)),
            dict(zip(judged, verdicts, strict=True)),
        )


def _walk(
    procedure: Procedure, state: State, choices: dict[str, str], verdicts: dict[str, str]
) -> Walk:
    opened: list[str] = []
    while True:
        while out_now := left_out(procedure, state):  # one left out may leave out the next
            gone = dict.fromkeys((s.id for s in out_now), "not_applicable")
            state = replace(state, outcomes={**state.outcomes, **gone})
        step_now = next_step(procedure, state)
        if step_now is None:
            if not state.waits:
                break
            state = replace(state, waits={})
            continue
        opened.append(step_now.id)
        state = replace(state, outcomes={**state.outcomes, step_now.id: "done"})
        if isinstance(step_now, ChoiceStep):
            state = replace(state, choices={**state.choices, step_now.id: choices[step_now.id]})
        if isinstance(step_now, MeasurementStep):
            verdict: Verdict = "out" if verdicts.get(step_now.id) == "out" else "in"
            value = Value(exactly("1 mm"), Judgement(verdict), "readback")
            state = replace(state, values={**state.values, step_now.id: {"": value}})
        if isinstance(step_now, WaitStep):
            state = replace(state, waits={**state.waits, step_now.id: "later"})
    out = tuple(s for s, how in state.outcomes.items() if how == "not_applicable")
    return Walk(tuple(opened), out, tuple(s.id for s in remaining(procedure, state)))
