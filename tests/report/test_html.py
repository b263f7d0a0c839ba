"""The page: valid, self-contained, readable without sight, colour or a network."""

from __future__ import annotations

import re
from datetime import UTC, timedelta, timezone
from itertools import pairwise
from xml.etree.ElementTree import Element

import html5lib
import pytest

from assistant.report.html import EvidenceViews, Integrity, SealLine, to_html
from assistant.report.record import build_record
from assistant.report.sheet.words import Times, lasting
from tests.report.deviating import deviating
from tests.report.hostile import hostile
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
        build_record(sample()),
        Integrity(seals=(seal,)),
        EvidenceViews(lambda clip: f"clips/{clip}.flac"),
        zone=UTC,
    )


@pytest.mark.parametrize("count", [0, 1, 2, 30, 70, len(sample())])
def test_the_page_is_valid_whatever_is_in_the_record(count: int) -> None:
    parsed(to_html(build_record(sample()[:count])))


def test_nothing_is_loaded(page: str) -> None:
    tree = parsed(page)
    loading = {"script", "img", "link", "iframe", "object", "embed", "video", "source"}
    assert not [e.tag for e in tree.iter() if str(e.tag).split("}")[-1] in loading]
    assert "http:" not in page
    assert "https:" not in page
    assert "@import" not in page
    assert "url(" not in page
    links = [e.get("href", "") for e in tree.iter(f"{XHTML}a")]
    ids = {e.get("id") for e in tree.iter() if e.get("id")}
    assert links
    assert all(link.removeprefix("#") in ids for link in links), "every link leads somewhere here"
    sounds = list(tree.iter(f"{XHTML}audio"))
    assert "clips/c3.flac" in [e.get("src") for e in sounds]
    assert all(e.get("preload") == "none" and e.get("aria-label") for e in sounds)


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
    said = [" ".join(label.split()) for label in labels]
    assert "3.4 thou, limits 1.5 – 3 thou: out of limits" in said
    assert "2.5 thou, limits 1.5 – 3 thou: in limits" in said
    assert "3 to under 4 thou, limits at most 5 thou: in limits" in said
    assert "Pass 2 at 14.0 lbf·ft, in this order: one, three, two, four." in said
    assert len(labels) == 1 + 4 + 2  # the code, the readings that count, the passes


def test_whether_it_was_accepted_and_the_deviations_come_first(page: str) -> None:
    headings = [text(e) for e in parsed(page).iter(f"{XHTML}h2")]
    assert headings[:4] == [
        "Not accepted 1 deviation that nobody has released.",
        "Deviations",
        "Skipped, not done, out of date",
        "At a glance",
    ]
    assert headings[4:6] == ["Measurements", "Tightening"]


def test_text_of_others_cannot_turn_the_page_around() -> None:
    page = to_html(build_record(hostile()))
    parsed(page)
    for mark in ("\u202e", "\u2066", "\x1b", "\x07", "\ufeff", "<script", "{{ 49", " 49 "):
        assert mark not in page
    for words in ("\\u202e", "#panic()", "&lt;script&gt;", "{{ 7*7 }}", "N" * 300):
        assert words in page


def test_every_verdict_is_said_by_its_one_name() -> None:
    lines = deviating()
    labels = [
        " ".join(e.get("aria-label", "").split())
        for e in parsed(to_html(build_record(lines))).iter(f"{SVG}svg")
    ]
    assert "34.97 mm, limits 34.98 – 35.00 mm: out of limits" in labels
    assert "1.9 thou, limits at most 2 thou: too close to call" in labels
    assert "12.5 thou, no limit" in labels


def test_what_was_typed_says_so_and_what_was_heard_can_be_played() -> None:
    page = to_html(
        build_record(deviating()),
        evidence=EvidenceViews(clip_link=lambda clip: "data:audio/flac;base64,AA=="),
    )
    rows = [r for r in parsed(page).iter(f"{XHTML}tr") if "Journal diameter, back" in text(r)]
    assert "typed" in text(rows[0])
    assert not list(rows[0].iter(f"{XHTML}audio"))
    heard = [r for r in parsed(page).iter(f"{XHTML}tr") if "Journal diameter, front" in text(r)]
    assert "heard" in text(heard[0])
    assert len(list(heard[0].iter(f"{XHTML}audio"))) == 1


def test_the_integrity_statement_says_what_was_found() -> None:
    record = build_record(sample())
    assert "Not checked" in to_html(record)
    assert "1 sound or picture altered" in to_html(record, Integrity(altered=1))
    bad = to_html(record, Integrity(bad="Entry 3 of kb2-7 has been altered."))
    assert "not as it was written" in bad
    assert "Entry 3 of kb2-7 has been altered." in bad
    good = to_html(record, Integrity())
    assert f"all {record.entries} entries follow one another" in good
    assert record.last_hash in good.replace(" ", "")
    assert "is not sealed" in good
    assert "Untouched: all" in good


def test_what_makes_a_record_doubtful_is_told() -> None:
    scribe = Scribe()
    scribe.event({**OPENED.model_dump(mode="json"), "clock": "demo"})
    scribe.now = scribe.now.replace(year=2020)
    scribe.event({"kind": "resumed"})
    page = to_html(build_record(scribe.entries))
    for words in ("Demonstration:", "Not finished", "The clock was set back", "Not done"):
        assert words in page


def test_words_for_times() -> None:
    times = Times("2026-01-05T08:00:00+00:00", timezone(timedelta(hours=-5, minutes=-30)))
    assert times.moment("2026-01-05T08:00:00.123456+00:00") == "2026-01-05 02:30 UTC-05:30"
    assert times.time("2026-01-05T08:00:07+00:00") == "02:30:07"
    assert times.time("2026-01-06T08:00:07+02:00") == "2026-01-06 00:30:07"
    assert times.span("2026-01-05T08:00:00Z", "2026-01-05T09:10:00Z") == (
        "2026-01-05 02:30 to 03:40 UTC-05:30"
    )
    assert times.time(None) == ""
    assert times.time("no time") == "no time"
    assert [lasting(s) for s in (0, 59.6, 3661, -1)] == [
        "0 s", "1 min 0 s", "1 h 1 min", "clock was set back",
    ]  # fmt: skip
