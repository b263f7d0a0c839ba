"""The record of every demonstration procedure, on paper and as a page."""

from __future__ import annotations

import re
from datetime import UTC
from functools import cache
from pathlib import Path

import html5lib
import pytest

from assistant.cli.demo import read_script
from assistant.cli.people import people
from assistant.cli.record_screen import shown
from assistant.journal.types import Entry
from assistant.report.html import Integrity, to_html
from assistant.report.pdf import to_pdf
from assistant.report.record import build_record
from assistant.report.sheet.layout import lay_out
from tests.report.test_pdf import pages
from tests.session.kit import Edges, MemoryJournal, StandInInput, demo_context, new_session, opened
from tests.session.test_golden import AT_THE_BENCH, SCRIPTS


@cache
def entries(name: str) -> tuple[Entry, ...]:
    """The journal of a whole session of the stand-in builder."""
    script = read_script(SCRIPTS[name])
    journal = MemoryJournal()
    session = new_session(journal, Edges(), demo_context(name))
    who = people(script.builder, script.inspectors)
    changes: dict[str, object] = {"people": who, "job": script.job, **AT_THE_BENCH.get(name, {})}
    session.open(opened(session).model_copy(update=changes))
    assert session.run(StandInInput(session, script.answers())) == "finished"
    return tuple(journal.entries)


@pytest.mark.parametrize("name", SCRIPTS)
def test_it_is_printed_and_says_nothing_in_ids_or_fractions(name: str, tmp_path: Path) -> None:
    record = build_record(entries(name))
    assert record.unread == []
    found = pages(to_pdf(record, lay_out(record, Integrity(), UTC)), tmp_path)
    whole = " ".join(found)
    assert record.governing.revision in found[0]
    assert "Accepted" in found[0] or "Finished" in found[0] or "Not accepted" in found[0]
    for line in record.steps:
        if "_" in line.id:
            assert line.id not in whole, line.id
    assert not re.search(r"\b\d+/\d+ (mm|thou|in|N·m|lbf·ft|°C)", whole)
    assert not [r.exact for r in record.readings if r.exact and r.exact in whole]
    assert ".;" not in shown(record)
    assert "*" not in whole.replace("lbf*ft", "").replace("lbf*in", "").replace("N*m", "")


@pytest.mark.parametrize("name", SCRIPTS)
def test_its_page_is_valid_and_shows_every_value_that_counts(name: str) -> None:
    record = build_record(entries(name))
    page = to_html(record, Integrity(), zone=UTC)
    tree = html5lib.HTMLParser(strict=True).parse(page)
    text = "".join(tree.itertext()).replace("\u00a0", " ")
    for reading in record.counting():
        assert reading.indication.amount.number() in text
