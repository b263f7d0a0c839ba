"""Tightening: fasteners drawn down in passes to a torque."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import ClassVar

from assistant.procedure.draft import StepDraft
from assistant.procedure.finding import Findings
from assistant.procedure.guess import TORQUES, figures, torque, torques, turns
from assistant.procedure.kinds.kind import Announced, StepKind, Use
from assistant.procedure.kinds.tightening.checks import check_tightening
from assistant.procedure.kinds.tightening.figures import tightening_figures
from assistant.procedure.kinds.tightening.model import Bolt, Stage, TighteningStep, WrenchAdapter
from assistant.procedure.kinds.tightening.plan import torque_limits
from assistant.procedure.kinds.tightening.stages import last_torque, stages_of, turn_of
from assistant.procedure.outline import Outline
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.units import same_dimension

_SMALL = ("cN*m", "ozf*in")  # of screws that a driver tightens
_TIGHTEN = re.compile(r"\b(re)?tighten\b", re.I)
# A torque that is read, not set.
_READ = re.compile(r"\b(measure|turning torque|breakaway|preload|drag|at most|at least|less than|"
                   r"no more than|between|within)\b", re.I)  # fmt: skip


class TighteningKind(StepKind[TighteningStep]):
    """A torque is announced and acknowledged before its first fastener."""

    kind = "tightening"
    also_called = ("torque", "tighten", "bolts")
    model = TighteningStep
    hands_on = True
    phrases_count = False  # naming a fastener only asks whether it is due
    nested: ClassVar = {"adapter": WrenchAdapter, "bolt": Bolt, "stages": Stage}
    examples: ClassVar = {
        "target": "14 lbf*ft",
        "thread": "dry",
        "bolt.thread": "M8",
        "grade": "8.8",
        "length": "400 mm",
        "extension": "50 mm",
        "angle": "90 deg",
        "stages": "[{torque: 20 N*m}, {turn: 90 deg}]",
    }
    also_known_as: ClassVar = {
        "torque": "target",
        "bolts": "fasteners",
        "screws": "fasteners",
        "wrench": "tool",
        "oil": "lubricant",
        "thread_locker": "locker",
        "threadlocker": "locker",
        "crowfoot": "adapter",
        "drag": "prevailing",
        "running_torque": "prevailing",
        "class": "grade",
        "size": "thread",
    }
    columns = frozenset({"target"})
    rank = 5

    def figures(self, procedure: Outline, step: TighteningStep) -> list[str]:
        """Torque, passes, pattern, and what is set on the wrench."""
        return tightening_figures(procedure, step)

    def check(self, findings: Findings, step: TighteningStep) -> None:
        """Torque, passes, pattern, thread, wrench and bolt."""
        check_tightening(findings, step)

    def start(self, draft: StepDraft) -> None:
        """Torque and fasteners as stated, and a wrench for them."""
        cells = draft.cells
        told = torques(draft.sentence)
        on = [] if "target" in cells or not told else turns(draft.sentence)
        rising = [a.to("N*m").value < b.to("N*m").value for a, b in pairwise(told)]
        if on or (len(told) > 1 and all(rising) and "target" not in cells):
            draft.step["stages"] = [{"torque": str(t)} for t in told]
            draft.step["stages"] += [{"turn": str(t)} for t in on]
            unit = told[0].unit
        else:
            draft.step["target"] = cells.get("target") or str(torque(draft.sentence) or "0 N*m")
            unit = draft.step["target"].split()[-1]
        if on:
            draft.gauge("angle gauge", "angle_gauge", "deg")
        small = unit in _SMALL
        kind = "torque_driver" if small else "torque_wrench"
        name = cells.get("tool", f"{'driver' if small else 'wrench'} in {unit}")
        draft.step["tool"] = draft.gauge(name, kind, unit)
        labels = [f.strip() for f in re.split(r"[;,]", cells.get("fasteners", "")) if f.strip()]
        draft.step["fasteners"] = labels or ["bolt one"]
        draft.step["thread"] = "dry"
        draft.todo("fasteners, tolerance, passes, dry or lubricated")

    def sounds_like(self, sentence: str) -> bool:
        """It states a torque, and tells to tighten to it, or at least not to read it."""
        if not any(low.unit in TORQUES for low, _ in figures(sentence)):
            return False
        if _TIGHTEN.search(sentence) is not None:
            return True
        return _READ.search(sentence) is None  # better than an action that hides its torque

    def uses(self, step: TighteningStep) -> Iterable[Use]:
        """The wrench, the lubricant and the thread locker."""
        yield Use("gauges", "tool", step.tool)
        if step.lubricant is not None:
            yield Use("consumables", "lubricant", step.lubricant)
        if step.locker is not None:
            yield Use("consumables", "locker", step.locker)

    def needs_gauges(self, step: TighteningStep) -> frozenset[str]:
        """An angle gauge has no step of its own: it serves those that turn by angle."""
        turns = any(s.turn is not None for s in stages_of(step))
        return frozenset({"angle_gauge"}) if turns else frozenset()

    def phrases(self, step: TighteningStep) -> Iterable[tuple[str, Sequence[str]]]:
        """The fasteners."""
        yield "fasteners", step.fasteners

    def announced(self, step: TighteningStep) -> Announced:
        """Torques and turns; its text may tell of the adapter's angle and of loosening too."""
        stages = stages_of(step)
        if step.target is None or step.stages:
            torques = [t for s in stages for t in (s.torque, s.check, s.up_to) if t is not None]
        else:
            torques = [t for t in (step.target, step.up_to) if t is not None]
        turns = [t for s in stages if (t := s.turn) is not None]
        whole = [] if (t := _whole_turn(step)) is None else [t]
        loosened = [t for s in stages if (t := s.loosen) is not None]
        fitted = [] if step.adapter is None else [step.adapter.angle]
        return Announced(tuple(torques), tuple(turns), (*whole, *loosened, *fitted))

    def limits(self, step: TighteningStep) -> tuple[str, Limits] | None:
        """The final torque less and plus its tolerance."""
        if last_torque(step) is None:
            return None
        return "torque", torque_limits(step)


def _whole_turn(step: TighteningStep) -> Amount | None:
    turns = [s.turn for s in stages_of(step) if s.turn is not None]
    return turn_of(step) if all(same_dimension(t.unit, "deg") for t in turns) else None
