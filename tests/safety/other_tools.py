"""Benches that change more than those of every walk, and steps at which that matters.

Tools of other ids and units, wrenches of other lengths, boxes of other shims; steps with an adapter
or with a picture to take last.
"""

from __future__ import annotations

import random
from dataclasses import replace
from typing import Any

from assistant.dialogue.context import Context
from assistant.procedure.kinds.shims import ShimStep
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.models import Procedure
from assistant.procedure.step import Step
from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.tools import Bench, BenchTool, Member
from tests.safety.jobs import Job

_SHIMS = ("0.05 mm", "0.1 mm", "0.15 mm", "0.2 mm", "0.25 mm", "0.3 mm", "0.5 mm", "0.8 mm", "1 mm")
_READS = ("dial_indicator", "micrometer", "caliper", "bore_gauge")


def with_other_tools(rng: random.Random, task: Job) -> Job:
    """The job with steps at which a change of tools matters, on a bench of other tools."""
    steps = tuple(_step(rng, step) for step in task.procedure.steps)
    procedure: Procedure = task.procedure.model_copy(update={"steps": steps})
    context = Context(procedure, task.context.language, task.context.policy)
    return replace(task, context=context, bench=other_tools(rng, task.bench))


def _step(rng: random.Random, step: Step) -> Step:
    if isinstance(step, ShimStep) and not step.picture:
        return step.model_copy(update={"picture": "The shims on the shaft."})
    if isinstance(step, TighteningStep) and step.adapter is None and step.up_to is None:
        if any(s.up_to is not None or s.minimum for s in step.stages) or rng.random() < 0.4:
            return step
        fitted = {"length": "300 mm", "extension": "60 mm",
                  "angle": rng.choice(("0 deg", "45 deg", "90 deg", "180 deg"))}  # fmt: skip
        return type(step).model_validate({**step.model_dump(mode="json"), "adapter": fitted})
    return step


def other_tools(rng: random.Random, bench: Bench | None) -> Bench | None:
    """The bench with some of its tools in other shapes."""
    if bench is None:
        return None
    made = Bench(tools=tuple(tool.model_copy(update=_other(rng, tool)) for tool in bench.tools))
    return Bench.model_validate_json(made.model_dump_json())


def _other(rng: random.Random, tool: BenchTool) -> dict[str, Any]:
    changed: dict[str, Any] = {}
    if tool.kind != "shim_set" and rng.random() < 0.25:
        changed["id"] = f"own_{tool.id}"
    if tool.kind in _READS and tool.unit == "mm" and rng.random() < 0.3:
        changed |= _in_thou(tool)
    if tool.kind == "torque_wrench" and rng.random() < 0.6:
        changed["length"] = parse_amount(rng.choice(("150 mm", "300 mm", "12 in")))
    if tool.kind == "shim_set" and rng.random() < 0.5:
        sizes = map(parse_amount, rng.sample(_SHIMS, 6))
        changed["members"] = tuple(Member(size=s, count=rng.randrange(1, 4)) for s in sizes)
    return changed


def _in_thou(tool: BenchTool) -> dict[str, Any]:
    low, high, spread = tool.lower, tool.upper, tool.uncertainty
    return {
        "unit": "thou",
        "resolution": parse_amount("0.1 thou"),
        "lower": None if low is None else Amount(low.to("thou").value, "thou"),
        "upper": None if high is None else Amount(high.to("thou").value, "thou"),
        "uncertainty": None if spread is None else parse_amount("0.4 thou"),
    }
