"""Readings in the record: heard, confirmed, superseded; what no longer counts stays."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.step import LimitedStep
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import Judgement, Limits, judge
from assistant.report.gathering import Gathering
from assistant.report.model import ReadingLine
from assistant.report.written import readable


def offered(g: Gathering, fact: ReadingOffered) -> None:
    """A value was heard. Until it is confirmed it does not count."""
    step = g.step(fact.step, LimitedStep)
    gauge = step.gauge if isinstance(step, MeasurementStep) else ""
    _add(
        g,
        ReadingLine(
            step=fact.step,
            position=fact.position,
            quantity="" if step is None else step.quantity,
            at=g.at,
            entry=g.entry,
            indication=fact.indication,
            limits=Limits() if step is None else step.limits,
            judgement=fact.judgement,
            status="unconfirmed",
            gauge=gauge,
            heard=fact.heard,
            digits_asked=fact.digits_asked,
            why_asked=fact.why_asked,
            by=g.builder(),
            engine=g.engine,
            clip=g.clip,
        ),
    )


def confirmed(g: Gathering, fact: ReadingConfirmed) -> None:
    """A value counts: the last one heard there, or an interval of several blades."""
    waiting = [r for r in _live(g, fact.step, fact.position) if r.status == "unconfirmed"]
    for line in _live(g, fact.step, fact.position):
        if line.status == "counts":  # confirmed once more, as a step reviewed twice may be
            line.status, line.superseded_at = "superseded", g.at
            line.superseded_why = "confirmed again"
    same = waiting[-1] if waiting and waiting[-1].indication == fact.indication else None
    for line in waiting:
        if line is not same:
            line.status = "not_taken" if line.indication.relation == "eq" else "evidence"
    if same is None:
        # blades combined to an interval: a value of its own, heard with the last of them
        last = waiting[-1] if waiting else None
        same = ReadingLine(
            step=fact.step,
            position=fact.position,
            quantity=fact.quantity,
            at=g.at if last is None else last.at,
            entry=g.entry if last is None else last.entry,
            indication=fact.indication,
            limits=fact.limits,
            judgement=fact.judgement,
            status="counts",
            heard="" if last is None else last.heard,
            by=g.builder(),
            engine=None if last is None else last.engine,
            clip=None if last is None else last.clip,
        )
        _add(g, same)
    same.status = "counts"
    same.quantity, same.limits, same.judgement = fact.quantity, fact.limits, fact.judgement
    same.gauge, same.how = fact.gauge, fact.how
    same.tool, same.uncertainty = fact.tool_name, fact.uncertainty
    same.confirmed_at, same.confirmed_clip = g.at, g.clip
    g.tool_used(fact.gauge)


def superseded(g: Gathering, fact: ReadingSuperseded) -> None:
    """The value of a position no longer counts.

    Several blades may make up that value; all of them go with it. A value heard in this very
    event is the one that takes its place, and stays.
    """
    live = _live(g, fact.step, fact.position)
    earlier = [line for line in live if line.entry != g.entry]
    gone = earlier or live
    for line in gone:
        misheard = line is not gone[-1] and line.indication.relation == "eq"
        line.status = "not_taken" if misheard else "superseded"
        if not misheard:
            line.superseded_at, line.superseded_why = g.at, fact.why


def derived(g: Gathering, fact: ValueDerived) -> None:
    """A value was computed; one computed earlier in the same step is superseded."""
    _computed(g, fact, fact.value, fact.judgement, fact.formula)


def _computed(
    g: Gathering,
    fact: ValueDerived | ShimsChosen,
    value: Amount,
    judged: Judgement,
    formula: str,
) -> None:
    told = _decimal(value) if fact.shown is None else fact.shown
    position = fact.position if isinstance(fact, ValueDerived) else ""
    for line in _live(g, fact.step, position):
        line.status, line.superseded_at = "superseded", g.at
        line.superseded_why = "computed again"
    _add(
        g,
        ReadingLine(
            step=fact.step,
            position=position,
            quantity=fact.quantity,
            at=g.at,
            entry=g.entry,
            confirmed_at=g.at,
            indication=Indication("eq", told),
            exact="" if told.value == value.value else str(value.value),
            uncertainty=fact.uncertainty,
            limits=fact.limits,
            judgement=judged,
            status="counts",
            how="derived",
            formula=formula,
            by=g.builder(),
        ),
    )


def _decimal(value: Amount) -> Amount:
    """A value of an earlier version, which stored it exactly and did not say how finely."""
    told = readable(value)
    places = told.decimals_needed() or 0
    return Amount(told.value, told.unit, Fraction(1, 10**places))


def shimmed(g: Gathering, fact: ShimsChosen) -> None:
    """Shims were fitted: the gap that is left is computed from them, like a derived value."""
    shims = " and ".join(str(shim) for shim in fact.shims) or "none"
    _computed(
        g,
        fact,
        fact.result,
        fact.judgement or judge(Indication("eq", fact.result), fact.limits, fact.result.unit),
        f"{readable(fact.gap)} {'with' if fact.effect == 'open' else 'less'} shims {shims}",
    )


def step_reopened(g: Gathering, step: str) -> None:
    """Whatever still counts of a reopened step no longer does."""
    for _, position in [place for place in g.live if place[0] == step]:
        for line in _live(g, step, position):
            line.status, line.superseded_at = "superseded", g.at
            line.superseded_why = "reopened"


def _add(g: Gathering, line: ReadingLine) -> None:
    g.record.readings.append(line)
    g.live.setdefault((line.step, line.position), []).append(line)


def _live(g: Gathering, step: str, position: str) -> list[ReadingLine]:
    still = [r for r in g.live.get((step, position), []) if r.status in ("counts", "unconfirmed")]
    g.live[step, position] = still
    return list(still)
