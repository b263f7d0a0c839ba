"""What must hold of values that are computed with heat, taken of a log, or of shims that come out.

Each is worked out again from the readings that count, by definition: a size L that grows by d is
warmed by d / (L a), where a is the expansion in millionths per kelvin; a rise is last less first.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from fractions import Fraction

from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.log.facts import LogStarted
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingOffered
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.kinds.shims import ShimStep
from tests.safety.trace import Trace

Breach = tuple[int, str]

HEAT = "room + rise_for(bore, '0.002 mm', 11.5)"
RISE = "change"
_UNITS = {"room": "degC", "bore": "mm"}
_BY_HAND: dict[str, Callable[[Mapping[str, Fraction]], Fraction]] = {
    HEAT: lambda v: v["room"] + Fraction("0.002") / (v["bore"] * Fraction("11.5") / 10**6),
    RISE: lambda v: v["change"],
}


def a_computed_value_is_what_its_readings_give(trace: Trace) -> Iterator[Breach]:
    """Of heat for a shrink fit, and of what a log rose by."""
    for at, fact in trace.facts(ValueDerived):
        if fact.formula not in _BY_HAND:
            continue
        step = trace.step(fact.step)
        assert isinstance(step, DerivedStep)
        values = {name: _counted(trace, at, name, of) for name, of in step.inputs.items()}
        wanted = _BY_HAND[fact.formula](values)
        if fact.value.value != wanted:
            yield at, f"{fact.step} is {float(wanted):.4f} by hand, and {fact.value} is recorded"


def a_strip_lies_between_the_bars_that_were_said(trace: Trace) -> Iterator[Breach]:
    """Both numbers are those of the sentence that was heard, and both are read back."""
    say = trace.context.language
    for at, fact in trace.facts(ReadingConfirmed):
        seen = fact.indication
        offered = trace.last(at, ReadingOffered, step=fact.step, position=fact.position)
        if offered is None or seen.upper is None or seen.lower_included:
            continue
        offer = trace.fact(offered)
        assert isinstance(offer, ReadingOffered)
        if offer.indication.relation != "between":
            continue
        ends = (seen.amount, seen.upper)
        words = [(say.say_number(end.value), say.say_digits(end.number())) for end in ends]
        rest = offer.heard
        for forms in words:
            found = [rest.index(form) + len(form) for form in forms if form in rest]
            if not found:
                yield at, f"{fact.step}: '{offer.heard}' was heard, and {seen} was taken"
                break
            rest = rest[max(found) :]
        if trace.heard(offered, trace.cause(at), words[0][0], say.say_amount(ends[1])) is None:
            yield at, f"{fact.step}: both ends of {seen} were not read back"


def shims_that_come_out_are_those_that_were_measured(trace: Trace) -> Iterator[Breach]:
    """What is added or removed is counted from the stack that was in."""
    for at, fact in trace.facts(ShimsChosen):
        step = trace.step(fact.step)
        assert isinstance(step, ShimStep)
        if step.present is None:
            continue
        was = _reading(trace, at, step.present, "", "mm")
        if fact.present is None or fact.present.to("mm").value != was:
            yield at, f"{fact.step}: {float(was):g} mm of shims were in, and not {fact.present}"


def _counted(trace: Trace, at: int, name: str, source: str) -> Fraction:
    step, _, picks = source.partition(".")
    if not picks:
        return _reading(trace, at, step, "", _UNITS[name])
    quantity, what = picks.rsplit(".", 1)
    begun = trace.last(at, LogStarted, step=step) or 0
    rows = {
        fact.position: fact.indication.amount.to("degC").value
        for when, fact in trace.facts(ReadingConfirmed, until=at)
        if when > begun and fact.step == step and fact.position.startswith(quantity)
    }
    read = [rows[position] for position in sorted(rows)]  # 0:00, 0:10, ... sort as they are
    assert what == "rise"
    return read[-1] - read[0]


def _reading(trace: Trace, at: int, step: str, position: str, unit: str) -> Fraction:
    found = trace.last(at, ReadingConfirmed, step=step, position=position)
    assert found is not None
    fact = trace.fact(found)
    assert isinstance(fact, ReadingConfirmed)
    return fact.indication.amount.to(unit).value
