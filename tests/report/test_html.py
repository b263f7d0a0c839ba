"""The page: valid, self-contained, readable without sight, colour or a network."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree.ElementTree import Element

import html5lib
import pytest

from assistant.report.html import Integrity, SealLine, lasting, moment, to_html
from assistant.report.record import build_record
from tests.report.sample import OPENED, Scribe, sample

XHTML = "{http://www.w3.org/1999/xhtml}"
SVG = "{http://www.w3.org/2000/svg}"


def parsed(page: str) -> Element:
    """The page by html5lib, which stops at the first parse error of the HTML standard."""
    tree: Element = html5lib.HTMLParser(strict=True).parse(page)
    return tree


def text(element: Element) -> str:
    """All text of an element, with single spaces."""
    return " ".join("".join(element.itertext()).split())


@pytest.fixture(scope="module")
def page() -> str:
    seal = SealLine(entries=9, sealed_at=OPENED.at, public_key="ab" * 32)
    return to_html(
        build_record(sample()), Integrity(seals=(seal,)), lambda clip: f"clips/{clip}.flac"
    )


@pytest.mark.parametrize("count", [0, 1, 2, 30, 70, len(sample())])
def test_the_page_is_valid_whatever_is_in_the_record(count: int) -> None:
    parsed(to_html(build_record(sample()[:count])))


def test_nothing_is_loaded(page: str) -> None:
    tree = parsed(page)
    loading = {"script", "img", "link", "iframe", "object", "embed", "audio", "video", "source"}
    assert not [e.tag for e in tree.iter() if str(e.tag).split("}")[-1] in loading]
    assert "http:" not in page
    assert "https:" not in page
    assert "@import" not in page
    assert "url(" not in page
    links = [e.get("href", "") for e in tree.iter(f"{XHTML}a")]
    assert all(re.fullmatch(r"#\w+|clips/\w+\.flac", link) for link in links)
    assert "clips/c3.flac" in links


def test_what_the_builder_said_cannot_become_markup() -> None:
    scribe = Scribe()
    scribe.event({**OPENED.model_dump(mode="json"), "job": '<script>alert(1)</script>"&'})
    page = to_html(build_record(scribe.entries))
    assert "<script" not in page
    assert "&lt;script&gt;" in page


def test_landmarks_headings_and_tables_for_a_screen_reader(page: str) -> None:
    tree = parsed(page)
    (root,) = tree.iter(f"{XHTML}html")
    assert root.get("lang") == "en"
    for landmark in ("header", "nav", "main", "footer", "h1", "title"):
        assert len(list(tree.iter(XHTML + landmark))) == 1
    levels = [
        int(str(e.tag)[-1]) for e in tree.iter() if re.fullmatch(XHTML + "h[1-6]", str(e.tag))
    ]
    assert all(after - before <= 1 for before, after in pairwise(levels))
    ids = [e.get("id") for e in tree.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    for table in tree.iter(f"{XHTML}table"):
        assert len(table.findall(f"{XHTML}caption")) == 1
        heads = list(table.iter(f"{XHTML}th"))
        assert heads
        assert all(h.get("scope") in ("col", "row") for h in heads)
    for section in tree.iter(f"{XHTML}section"):
        assert section.get("aria-labelledby") in ids


def test_every_reading_is_drawn_and_said_in_words(page: str) -> None:
    labels = [e.get("aria-label", "") for e in parsed(page).iter(f"{SVG}svg")]
    assert "3.4 thou, limits 1.5 thou to 3 thou: OUT OF LIMITS" in labels
    assert "2.5 thou, limits 1.5 thou to 3 thou: in limits" in labels
    assert "3 to under 4 thou, limits at most 5 thou: in limits" in labels
    assert "Pass 2 at 14.0 lbf*ft, in this order: one, three, two, four." in labels
    assert len(labels) == 8 + 2


def test_open_dispositions_come_first(page: str) -> None:
    headings = [text(e) for e in parsed(page).iter(f"{XHTML}h2")]
    assert headings[0] == "Open dispositions"
    assert page.index("1 open.") < page.index('id="job"')


def test_the_integrity_statement_says_what_was_found() -> None:
    record = build_record(sample())
    assert "Not checked" in to_html(record)
    bad = to_html(record, Integrity(bad="Entry 3 of kb2-7 has been altered."))
    assert "not as it was written" in bad
    assert "Entry 3 of kb2-7 has been altered." in bad
    good = to_html(record, Integrity())
    assert f"all {record.entries} entries follow one another" in good
    assert record.last_hash in good
    assert "is not sealed" in good


def test_what_makes_a_record_doubtful_is_told() -> None:
    scribe = Scribe()
    scribe.event({**OPENED.model_dump(mode="json"), "clock": "demo"})
    scribe.now = scribe.now.replace(year=2020)
    scribe.event({"kind": "resumed"})
    page = to_html(build_record(scribe.entries))
    for words in ("Demonstration:", "Not finished:", "The clock was set back", "Steps not done"):
        assert words in page


def test_words_for_times() -> None:
    assert moment("2026-01-05T08:00:00.123456+00:00") == "2026-01-05 08:00:00 UTC"
    assert moment("2026-01-05T08:00:00-05:30") == "2026-01-05 08:00:00 UTC-05:30"
    assert moment(None) == ""
    assert [lasting(s) for s in (0, 59.6, 3661, -1)] == [
        "0 s", "1 min 0 s", "1 h 1 min", "clock was set back",
    ]  # fmt: skip
