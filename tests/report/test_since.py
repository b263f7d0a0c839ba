"""What changed since the last build is on page one and in full in the appendix."""

from __future__ import annotations

from datetime import UTC

from assistant.report.html import to_html
from assistant.report.model import BuildRecord
from assistant.report.record import build_record
from assistant.report.sheet.page import Page
from assistant.report.sheet.since import changes, since_item
from tests.quantities.kit import exactly
from tests.report.sample import FLOAT, OPENED, Scribe, confirmed, offered


def build(job: str, value: str, **opened: object) -> BuildRecord:
    s = Scribe(job.lower())
    s.event({**OPENED.model_dump(mode="json"), "job": job, **opened})
    s.heard(offered("float", "top", exactly(value), FLOAT))
    s.heard(confirmed("float", "top", exactly(value), FLOAT, "dial"))
    return build_record(s.entries)


def told(now: BuildRecord, last: BuildRecord) -> dict[str, tuple[str, str, str]]:
    return {
        c.what: (c.before.replace("\u00a0", " "), c.now.replace("\u00a0", " "),
                 c.difference.replace("\u00a0", " "))
        for c in changes(Page(now, UTC), last)
    }  # fmt: skip


def test_a_value_is_compared_exactly_in_the_unit_of_this_build() -> None:
    found = told(build("KB2-2", "2.5 thou"), build("KB2-1", "0.0508 mm"))
    assert found["End float, top"] == ("0.0508 mm", "2.5 thou", "+0.5 thou")
    assert found["Procedure"] == ("revision B", "revision B", "")
    less = told(build("KB2-2", "1.6 thou"), build("KB2-1", "2.0 thou"))
    assert less["End float, top"][2] == "−0.4 thou"
    same = told(build("KB2-2", "0.0508 mm"), build("KB2-1", "2 thou"))
    assert same["End float, top"][2] == ""


def test_another_file_of_the_same_revision_is_a_change() -> None:
    found = told(build("KB2-2", "2 thou", procedure_sha256="ef" * 32), build("KB2-1", "2 thou"))
    assert found["Procedure's file"][2] == "changed, same revision"


def test_page_one_has_a_line_that_leads_to_the_comparison() -> None:
    now, last = build("KB2-2", "2.5 thou"), build("KB2-1", "2.0 thou")
    item = since_item(Page(now, UTC), last)
    assert item.text == (
        "KB2-1, 2026-01-05 08:00 UTC. Same procedure and manual; 1 of 4 things differ."
    )
    page = to_html(now, last=last, zone=UTC)
    assert '<a href="#last-build">' in page
    assert 'id="last-build"' in page
    assert "The same in both: Manual; Procedure; Built by." in page
    assert "last-build" not in to_html(now)
