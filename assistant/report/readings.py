"""Readings in the record, whatever gave them; what no longer counts stays."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import Judgement, Limits
from assistant.report.gathering import Gathering
from assistant.report.lines.reading import ReadingLine
from assistant.report.written import readable


@dataclass(frozen=True)
class Computed:
    """A value that was computed, not read: ``formula`` says from what, ``inputs`` in words.

    ``shown`` is the value rounded as it was said; sessions of earlier versions stored none.
    """

    step: str
    quantity: str
    value: Amount
    shown: Amount | None
    uncertainty: Amount | None
    limits: Limits
    judgement: Judgement
    formula: str
    position: str = ""
    inputs: Mapping[str, str] = field(default_factory=dict)


def computed(g: Gathering, one: Computed) -> None:
    """A value was computed; one computed earlier at the same place is superseded."""
    told = _decimal(one.value) if one.shown is None else one.shown
    for line in live(g, one.step, one.position):
        line.status, line.superseded_at = "superseded", g.at
        line.superseded_why = "computed again"
    add(
        g,
        ReadingLine(
            step=one.step,
            position=one.position,
            quantity=one.quantity,
            at=g.at,
            entry=g.entry,
            confirmed_at=g.at,
            indication=Indication("eq", told),
            exact="" if told.value == one.value.value else str(one.value.value),
            uncertainty=one.uncertainty,
            limits=one.limits,
            judgement=one.judgement,
            status="counts",
            how="derived",
            formula=one.formula,
            inputs=dict(one.inputs),
            by=g.builder(),
        ),
    )


def _decimal(value: Amount) -> Amount:
    """A value of an earlier version, which stored it exactly and did not say how finely."""
    told = readable(value)
    places = told.decimals_needed() or 0
    return Amount(told.value, told.unit, Fraction(1, 10**places))


def step_reopened(g: Gathering, step: str, why: str = "reopened") -> None:
    """Whatever still counts of a reopened step no longer does."""
    for _, position in [place for place in g.live if place[0] == step]:
        for line in live(g, step, position):
            line.status, line.superseded_at = "superseded", g.at
            line.superseded_why = why


def add(g: Gathering, line: ReadingLine) -> None:
    """``line`` is the newest reading of its place."""
    g.record.readings.append(line)
    g.live.setdefault((line.step, line.position), []).append(line)


def live(g: Gathering, step: str, position: str) -> list[ReadingLine]:
    """The readings of a place that count, or wait to be confirmed."""
    still = [r for r in g.live.get((step, position), []) if r.status in ("counts", "unconfirmed")]
    g.live[step, position] = still
    return list(still)
