"""Computed values in the record: readings whose source is a formula."""

from __future__ import annotations

from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.kinds.derived.kind import inputs_in_words
from assistant.report import dispositions, readings
from assistant.report.gathering import Gathering
from assistant.report.kinds.kind import KindReport
from assistant.report.lines.step import StepLine
from assistant.report.sheet.blocks import Block
from assistant.report.sheet.page import Page
from assistant.report.sheet.reading_rows import measured
from assistant.report.written import IN_SHORT, readable


class DerivedReport(KindReport[ValueDerived]):
    """A value computed from earlier readings."""

    kind = "derived"
    section = "Measurements"
    facts = (ValueDerived,)

    def put(self, g: Gathering, fact: ValueDerived) -> None:
        """The value with its formula, among the readings."""
        step = g.step(fact.step, DerivedStep)
        inputs = {}
        if step is not None and g.procedure is not None:
            inputs = inputs_in_words(g.procedure, step)
        readings.computed(
            g,
            readings.Computed(
                step=fact.step,
                quantity=fact.quantity,
                value=fact.value,
                shown=fact.shown,
                uncertainty=fact.uncertainty,
                limits=fact.limits,
                judgement=fact.judgement,
                formula=fact.formula,
                inputs=inputs,
                position=fact.position,
            ),
        )

    def skipped(self, g: Gathering, step: str) -> None:
        """A computed value whose step was then skipped does not count."""
        readings.step_reopened(g, step, "skipped")
        dispositions.withdraw(g, step, None)

    def reopened(self, g: Gathering, step: str, why: str = "reopened") -> None:
        """The value no longer counts."""
        readings.step_reopened(g, step, why)

    def in_short(self, fact: ValueDerived) -> str:
        """The value with its verdict."""
        value = fact.shown or readable(fact.value)
        place = f" {fact.position}" if fact.position else ""
        verdict = IN_SHORT[fact.judgement.verdict]
        return f"{fact.quantity}{place} {value} ({fact.limits}): {verdict}"

    def part(self, page: Page, step: StepLine) -> list[Block]:
        """A row for each value that counts."""
        return [*measured(page, step.id)]
