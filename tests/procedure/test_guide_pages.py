"""The guide's pages: their examples load, their talk and record come out as printed.

After a change: ``python -m tests.procedure.guide_session``, and read the difference.
"""

from __future__ import annotations

import re
from runpy import run_path
from typing import get_args

import pytest

from assistant.procedure.kinds import STEP_KINDS
from assistant.quantities.amount import parse_amount
from assistant.quantities.formula import evaluate, names_in
from assistant.quantities.patterns import Pattern
from tests.procedure.guide import DOCS, FOLDER, WAY_IN, GuidePage, findings, pages, told
from tests.procedure.guide_session import play

PAGES = {page.name: page for page in pages()}
TEXTS = {path: path.read_text(encoding="utf-8") for path in [WAY_IN, *FOLDER.glob("*.md")]}


@pytest.fixture(params=PAGES, scope="module")
def page(request: pytest.FixtureRequest) -> GuidePage:
    return PAGES[request.param]


def test_every_kind_has_a_page_of_its_name() -> None:
    assert [kind for kind in STEP_KINDS if kind not in getattr(PAGES.get(kind), "kinds", ())] == []


@pytest.mark.uncounted
def test_check_finds_nothing_in_the_examples(page: GuidePage) -> None:
    assert findings(page) == []


def test_the_talk_is_what_is_said_and_the_record_what_is_recorded(page: GuidePage) -> None:
    played = play(page)
    assert page.talk == played.talk
    assert page.record == played.record
    assert len(page.lines) > 0
    assert played.ended == "finished"


@pytest.mark.uncounted
def test_check_says_of_each_mistake_what_the_page_says(page: GuidePage) -> None:
    assert len(page.mistakes) >= 2
    assert [told(page, mistake) for mistake in page.mistakes] == [m.told for m in page.mistakes]


def test_every_page_begins_with_what_it_is_for_and_a_picture() -> None:
    for path in FOLDER.glob("*.md"):
        head = TEXTS[path].partition("\n## ")[0]
        assert re.match(r"# .+\n\n[A-Z`]", head), path.name
        assert "](../pictures/" in head, path.name


def test_every_link_and_picture_is_there() -> None:
    link = re.compile(r"\]\(([^)#]+)\)")
    links = [(path, to) for path, text in TEXTS.items() for to in link.findall(text)]
    assert len(links) > 50
    assert [(path.name, to) for path, to in links if not (path.parent / to).exists()] == []


def test_the_way_in_leads_to_every_page() -> None:
    linked = set(re.findall(r"\]\(guide/([\w-]+)\.md\)", TEXTS[WAY_IN]))
    assert linked == {path.stem for path in FOLDER.glob("*.md")}


def test_no_sentence_stands_on_two_pages() -> None:
    """Prose only: tables, code and what the assistant says may be alike."""
    seen: dict[str, str] = {}
    for path, text in TEXTS.items():
        prose = re.sub(r"^```.*?^```$|^\|.*$", "", text, flags=re.S | re.M)
        for sentence in re.split(r"(?<=[.:])\s+", " ".join(prose.split())):
            if len(sentence) > 60:
                assert seen.setdefault(sentence, path.name) == path.name, sentence


def test_every_pattern_has_its_row_and_all_but_the_given_one_a_picture() -> None:
    rows = re.findall(r"^\| `(\w+)` \|(.*?)\|", TEXTS[FOLDER / "patterns.md"], re.M)
    assert {name for name, _ in rows} == set(get_args(Pattern))
    assert [name for name, picture in rows if "](" not in picture] == ["given"]


def test_the_formulas_shown_are_formulas() -> None:
    """Every formula of the table is computed, with each name as a length, a force or a heat."""
    text = TEXTS[FOLDER / "derived.md"]
    start = text.index("| what | formula |")
    shown = re.findall(r"\| `([^`]+)`", text[start : text.index("\n\n", start)])
    assert len(shown) == 26
    for formula in shown:
        inputs = {name: parse_amount("1 mm") for name in names_in(formula)}
        inputs |= {
            "load": parse_amount("10 N"),
            "pull": parse_amount("10 N"),
            "heat": parse_amount("25 degC"),
        }
        inputs |= {n: parse_amount("20 degC") for n in ("hot", "cold", "gauge")}
        inputs["slope"] = parse_amount("1 mm/m")
        unit = {"pull": "N*m", "hot": "delta_degC", "cold": "degC", "(hot": "degC/h"}.get(
            formula.split()[0], "mm"
        )
        if "face_slope" in formula or formula.startswith("(rim"):
            unit = "mm/m"
        evaluate(formula, inputs, unit)


def test_the_drawing_of_the_dials_is_the_one_that_its_script_draws() -> None:
    script = run_path(str(DOCS.parent / "scripts" / "aligning_picture.py"))
    assert script["FILE"].read_text(encoding="utf-8") == script["drawn"]()
