"""Jobs to walk through: the shipped procedures and made ones, what the builder has in hand, and
the tools on the bench."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction
from functools import cache
from itertools import pairwise
from typing import Any

from assistant.dialogue.context import Context
from assistant.dialogue.stand_in import Answers
from assistant.language import Language
from assistant.procedure.adjusting import AdjustableStep
from assistant.procedure.kinds.choice import ChoiceStep
from assistant.procedure.listed import Gauge
from assistant.procedure.loader import load_procedure
from assistant.procedure.models import Procedure
from assistant.procedure.step import GaugedStep, ReadStep
from assistant.quantities.amount import Amount
from assistant.quantities.tools import Bench, BenchTool, Member
from assistant.resources import data_folder
from tests.safety.made import make
from tests.session.test_golden import SCRIPTS

TODAY = date(2026, 1, 5)
_SAID_FOR = {
    "thou": (("in", 4), ("tenth", 0), ("mm", 2)), "in": (("thou", 1), ("mm", 2)),
    "mm": (("um", 0),), "um": (("mm", 3),),
}  # fmt: skip
"""How else a reading in each unit may be said, with so many decimals at most."""
_FIXED = ("feeler", "plug_gauge", "ring_gauge")  # sets whose members go or do not go


@dataclass(frozen=True)
class Job:
    """A procedure in its language, and the variant, answers and tools of one builder."""

    context: Context
    answers: Answers
    bench: Bench | None
    shipped: Answers | None = None

    @property
    def procedure(self) -> Procedure:
        """What is built."""
        return self.context.procedure


def job(rng: random.Random, only: Sequence[str] = ()) -> Job:
    """A shipped procedure in two of five walks, else a made one; ``only``: made of these pieces."""
    if rng.random() < 0.4 and not only:
        name = rng.choice(sorted(SCRIPTS))
        procedure, shipped = _shipped(name)
    else:
        procedure, shipped = make(rng, only), None
    context = Context(procedure, _language(procedure.language))
    bench = tools(rng, procedure) if rng.random() < 0.5 else None
    bare = Job(context, Answers(revision=""), bench, shipped)
    return replace(bare, answers=_answers(rng, bare))


@cache
def _shipped(name: str) -> tuple[Procedure, Answers]:
    from assistant.cli.demo import read_script

    procedure = load_procedure(data_folder("procedures") / f"{name}.yaml")
    return procedure, read_script(SCRIPTS[name]).answers()


@cache
def _language(tag: str) -> Language:
    return Language.load(tag)


def _answers(rng: random.Random, task: Job) -> Answers:
    procedure, shipped = task.procedure, task.shipped
    applies = procedure.applicability
    choices = {s.id: rng.choice(s.options).id
               for s in procedure.steps if isinstance(s, ChoiceStep)}  # fmt: skip
    numbers = {s.id: f"KB{rng.randrange(100, 1000)}"
               for s in procedure.steps if s.kind == "identification"}  # fmt: skip
    return Answers(
        revision=procedure.governing.revision if rng.random() < 0.9 else "B",
        variant=rng.choice(applies.variants) if applies.variants else "",
        parts=rng.choice(applies.parts),
        inspector="MQ",
        choices=choices,
        numbers=numbers if shipped is None else {**numbers, **shipped.numbers},
        readings={
            s.id: {p: phrase(rng, task, s.at(p), p) for p in s.places}
            for s in procedure.steps
            if isinstance(s, ReadStep)
        },
        disposition=rng.choice(("use_as_is", "rework", "replace", "refer")),
        reason="within wear allowance",
    )


def phrase(
    rng: random.Random,
    task: Job,
    step: GaugedStep,
    position: str,
    out: float = 0.1,
) -> str:
    """What the builder reads off at a position: mostly within limits, out of them at times."""
    context, shipped = task.context, task.shipped
    gauge = task.procedure.gauge(step.gauge)
    known = None if shipped is None else shipped.readings.get(step.id, {}).get(position)
    if gauge.kind in _FIXED:
        if context.procedure.language == "en-US" and len(gauge.members) > 1:
            return _tried(rng, context, gauge) if known is None or rng.random() < 0.5 else known
        assert known is not None
        return known
    if gauge.kind == "plastic_gauge" and (known is None or rng.random() < 0.5):
        return _compared(rng, context, gauge)
    if known is not None and (step.around or rng.random() < 0.3):
        return known
    say = context.language
    adjusts = isinstance(step, AdjustableStep) and step.adjustable
    times = 4 if adjusts else 1  # before the first adjustment, and after each
    values = [_in_another_unit(_value(rng, gauge, step, 0.4 if adjusts and out else out), position)
              for _ in range(times)]  # fmt: skip
    return " | ".join(say.prompt("reading_phrase", value=say.say_amount(v)) for v in values)


def _compared(rng: random.Random, context: Context, gauge: Gauge) -> str:
    """Two neighbouring bars of the card, in one sentence."""
    sizes = sorted(gauge.members, key=lambda m: m.to(gauge.unit).value)
    small, large = rng.choice(list(pairwise(sizes)))
    low, high = context.language.say_number(small.value), context.language.say_amount(large)
    return context.language.prompt("reading_between", low=low, high=high)


def _tried(rng: random.Random, context: Context, gauge: Gauge) -> str:
    """Two neighbours of a set: one goes, and the other does not."""
    sizes = sorted(gauge.members, key=lambda m: m.to(gauge.unit).value)
    at = rng.randrange(len(sizes) - 1)
    small, large = sizes[at], sizes[at + 1]
    goes, stays = (large, small) if gauge.kind == "ring_gauge" else (small, large)
    say = context.language.say_amount
    return f"{say(goes)} goes; {say(stays)} does not go"


def _value(rng: random.Random, gauge: Gauge, step: GaugedStep, out: float) -> Amount:
    unit = gauge.unit
    mark = gauge.resolution.to(unit).value
    low, high = (_in(a, unit) for a in (step.lower, step.upper))
    if low is None:
        low = high - 20 * mark if high is not None else Fraction(0)
    if high is None:
        high = low + 20 * mark
    low, high = max(low, _in(gauge.lower, unit) or low), min(high, _in(gauge.upper, unit) or high)
    width = max(1, int((high - low) / mark))
    place = rng.randrange(width + 1)
    if rng.random() < out:
        place = rng.choice((-1, 1, -2, 2)) * rng.randrange(1, max(2, width // 2))
        place = place if place < 0 else width + place
    value = round(low / mark + place) * mark
    limits = () if step.around else (step.lower, step.upper)  # which are not its own yet
    ends = [_in(a, unit) for a in (step.plausible_low, *limits)]
    below_zero = any(end is not None and end < 0 for end in ends)
    return Amount(value if below_zero else max(value, Fraction(0)), unit)  # else none is heard


def _in_another_unit(value: Amount, position: str) -> Amount:
    """One reading in four as the builder thinks of it: 0.0015 in for 1.5 thou.

    Which ones follows from the value alone: another such choice must not change all the others.
    """
    choice = random.Random(f"{value} {position}")
    others = [u for u, n in _SAID_FOR.get(value.unit, ()) if _ends(value.to(u).value, n)]
    if not others or choice.random() > 0.25:
        return value
    said = value.to(choice.choice(others))
    decimals = said.decimals_needed()
    return Amount(said.value, said.unit, Fraction(1, 10 ** (decimals or 0)))


def _ends(number: Fraction, decimals: int) -> bool:
    return int((number * 10**decimals).denominator) == 1


def _in(amount: Amount | None, unit: str) -> Fraction | None:
    return None if amount is None else amount.to(unit).value


def tools(rng: random.Random, procedure: Procedure, spoilt: float = 0.08) -> Bench:
    """The tools of a bench for a procedure: other marks and units at times, and some run out."""
    made = Bench(tools=tuple(_tools(rng, procedure, spoilt)))
    return Bench.model_validate_json(made.model_dump_json())  # as a bench file gives it


def _tools(rng: random.Random, procedure: Procedure, spoilt: float) -> Iterator[BenchTool]:
    for gauge in procedure.gauges:
        if rng.random() < spoilt / 2 or (gauge.kind == "feeler" and not gauge.members):
            continue  # not on this bench
        due = TODAY + timedelta(days=rng.randrange(30, 900))
        if rng.random() < spoilt:
            due = TODAY - timedelta(days=rng.randrange(1, 60))
        given: dict[str, Any] = {
            "id": gauge.id,
            "kind": gauge.kind,
            "name": f"{gauge.name} number {rng.randrange(2, 9)}",
            "unit": gauge.unit,
            "resolution": gauge.resolution,
            "lower": gauge.lower,
            "upper": gauge.upper,
            "uncertainty": gauge.uncertainty,
            "calibration_due": None if gauge.kind == "shim_set" else due,
            "members": _members(gauge),
        }
        if gauge.kind == "torque_wrench" and rng.random() < 0.4:
            given |= _other_wrench(rng, gauge)
        yield BenchTool(**given)


def _members(gauge: Gauge) -> tuple[Member, ...]:
    sizes = dict.fromkeys(gauge.members)
    return tuple(Member(size=s, count=gauge.members.count(s)) for s in sizes)


def _other_wrench(rng: random.Random, gauge: Gauge) -> dict[str, Any]:
    """A wrench of the other system, or one with other marks."""
    if rng.random() < 0.5:
        return {"resolution": Amount(gauge.resolution.value / 2, gauge.resolution.unit)}
    unit = "lbf*ft" if gauge.unit == "N*m" else "N*m"
    top = gauge.upper.to(unit).value if gauge.upper is not None else Fraction(60)
    return {
        "unit": unit,
        "resolution": Amount(Fraction(1, 2), unit),
        "lower": None,
        "upper": Amount(Fraction(round(top)), unit),
    }
