"""What must hold of a reading that was said in another unit than the gauge's.

An inch is 25.4 mm, a pound 0.45359237 kg and standard gravity 9.80665 m/s2, all by definition (NIST
SP 811, 2008, Appendix B.8). The factors here are worked out from these alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from assistant.dialogue.events import Heard
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingOffered
from assistant.language.spec import ListenSpec, NumberSpec, Reading
from assistant.quantities.amount import Amount
from assistant.quantities.units import same_dimension
from tests.safety.trace import Trace

Breach = tuple[int, str]

_INCH = Fraction("25.4")
_POUND_FORCE = Fraction("0.45359237") * Fraction("9.80665")
_FACTORS = {
    "mm": Fraction(1), "um": Fraction(1, 1000),
    "in": _INCH, "thou": _INCH / 1000, "tenth": _INCH / 10000,
    "N*m": Fraction(1), "lbf*ft": _POUND_FORCE * 12 * _INCH / 1000,
    "lbf*in": _POUND_FORCE * _INCH / 1000,
}  # fmt: skip
"""Each length in millimetres, each torque in newton metres."""


def a_reading_that_counts_is_the_one_that_was_said(trace: Trace) -> Iterator[Breach]:
    """Whatever its unit: worked out from the words that were heard.

    It holds from the readback on: a builder who notices a wrong value takes it back, and one who
    does not lets it count. In another unit than the gauge's, the builder hears both what was said
    and what it comes to.
    """
    for at, offer in trace.facts(ReadingOffered):
        if offer.indication.relation == "eq":
            yield from _other_than_said(at, offer, _said(trace, at, offer.indication.amount.unit))
    for at, fact in trace.facts(ReadingConfirmed):
        offered = trace.last(at, ReadingOffered, step=fact.step, position=fact.position)
        if offered is None or fact.indication.relation != "eq":
            continue
        counts = fact.indication.amount
        said = _said(trace, offered, counts.unit)
        yield from _other_than_said(at, fact, said)
        if said is None or said.unit == counts.unit:
            continue
        both = [trace.context.language.say_amount(a) for a in (said, counts)]
        if trace.heard(offered, trace.cause(at), *both) is None:
            yield at, f"{fact.step} {fact.position}: {said} and {counts} were not both read back"


def _other_than_said(
    at: int, fact: ReadingOffered | ReadingConfirmed, said: Amount | None
) -> Iterator[Breach]:
    known = fact.indication.amount
    if said is None:
        return
    if said.value * _FACTORS[said.unit] != known.value * _FACTORS[known.unit]:
        yield at, f"{fact.step} {fact.position}: {said} was said, and {known} was taken"


def _said(trace: Trace, offered: int, unit: str) -> Amount | None:
    """The amount in the words that were heard, where they leave no choice."""
    event = trace.event(offered)
    assert isinstance(event, Heard)
    units = (unit, *(u for u in _FACTORS if u != unit and same_dimension(u, unit)))
    spec = ListenSpec(reading=NumberSpec(units, signed=True))
    heard = event.recognition.hypotheses[0].text
    found = {m.indication.amount for m in trace.context.language.interpret(spec, heard)
             if isinstance(m, Reading)}  # fmt: skip
    (said,) = found if len(found) == 1 else (None,)
    return said if said is not None and said.unit in _FACTORS else None
