"""Shims in the record: the gap that they leave is a computed reading."""

from __future__ import annotations

from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.quantities.amount import Indication
from assistant.quantities.limits import judge
from assistant.report import readings
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.step import StepLine
from assistant.report.sheet.blocks import Block
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import measured
from assistant.report.written import readable

_EFFECT = {"open": "with", "close": "less"}


class ShimsReport(KindReport[ShimsChosen]):
    """Shims that were fitted."""

    kind = "shims"
    section = "Measurements"
    facts = (ShimsChosen,)

    def put(self, g: Gathering, fact: ShimsChosen) -> None:
        """The gap that is left, among the readings."""
        shims = " and ".join(str(shim) for shim in fact.shims) or "none"
        alone = Indication("eq", fact.result)
        readings.computed(
            g,
            readings.Computed(
                step=fact.step,
                quantity=fact.quantity,
                value=fact.result,
                shown=fact.shown,
                uncertainty=fact.uncertainty,
                limits=fact.limits,
                judgement=fact.judgement or judge(alone, fact.limits, fact.result.unit),
                formula=f"{readable(fact.gap)}{_old(fact)} {_EFFECT[fact.effect]} shims {shims}"
                + _together(g, fact),
            ),
        )

    def reopened(self, g: Gathering, step: str, why: str = "reopened") -> None:
        """The gap no longer counts."""
        readings.step_reopened(g, step, why)

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """A row for each value that counts."""
        return [*measured(page, step.id)]


def _together(g: Gathering, fact: ShimsChosen) -> str:
    """The step whose shims were chosen at once with these, out of the same box."""
    other = g.any_step(fact.kept_for) if fact.kept_for else None
    return "" if other is None else f", chosen together with {other.title}"


def _old(fact: ShimsChosen) -> str:
    """The shims that were in when the gap was measured."""
    return "" if fact.present is None else f" over shims of {readable(fact.present)},"
