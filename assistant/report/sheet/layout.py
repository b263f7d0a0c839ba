"""Lays a build record out: page one, the sections, the appendix."""

from __future__ import annotations

from datetime import tzinfo

from assistant.report.model import BuildRecord
from assistant.report.sheet.appendix import appendix
from assistant.report.sheet.blocks import Sheet
from assistant.report.sheet.code import code
from assistant.report.sheet.front import deviations, facts, glance, left, outcome, signatures
from assistant.report.sheet.integrity import Integrity
from assistant.report.sheet.page import Page
from assistant.report.sheet.sections import sections
from assistant.report.sheet.since import since_item, since_section

GOVERN = (
    "The maker's current manual, local codes and licensed practice govern; this record replaces "
    "none of them."
)


def lay_out(
    record: BuildRecord,
    integrity: Integrity | None = None,
    zone: tzinfo | None = None,
    last: BuildRecord | None = None,
) -> Sheet:
    """The record as it is read.

    Args:
        integrity: the outcome of a check made now; None says that none was made.
        zone: whose times are written; None is the machine's own.
        last: the build of the same procedure before this one, where there is one.
    """
    page = Page(record, zone)
    word, detail, tone = outcome(page)
    short = record.last_hash[:8]
    alarms = []
    if record.demo_clock:
        alarms.append(
            "Demonstration: waits ended at once, by a demonstration clock. This is no "
            "record of real work."
        )
    if integrity is not None and integrity.bad:
        alarms.append(f"The record is not as it was written. {integrity.bad}")
    if record.clock_set_back_at:
        alarms.append("The clock was set back during the work; see appendix F.")
    since = None if last is None else since_item(page, last)
    ends = [] if last is None else [since_section(page, last)]
    return Sheet(
        title=record.job or record.session,
        product=record.procedure.title,
        running=f"{record.session}  ·  {short}",
        short=short,
        whole_hash=record.last_hash,
        outcome=word,
        outcome_detail=detail,
        outcome_tone=tone,
        alarms=tuple(alarms),
        facts=facts(page),
        deviations=deviations(page),
        left=left(page),
        glance=glance(page, integrity, since),
        signatures=signatures(page),
        code=code(record),
        sections=sections(page),
        appendix=(*appendix(page, integrity), *ends),
        govern=GOVERN,
        times=f"Times are local, {page.times.offset}." if page.times.offset else "",
    )
