"""Every problem that the code tells has its words in every language, with the same places."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from string import Formatter
from typing import get_args

import pytest
from sqlalchemy import make_url
from sqlalchemy.exc import OperationalError

from assistant.journal.store_errors import _PROBLEMS, explain
from assistant.language import Language
from assistant.language.english import in_english
from assistant.quantities.amount import parse_amount
from assistant.quantities.bench import BenchTool, ToolKind
from assistant.quantities.limits import Limits
from assistant.quantities.problem import Problem, problem
from assistant.quantities.shims import ShimGap, ShimStock, choose_shims
from assistant.quantities.tools import Need, kind_name, pick_tool, tool_findings

PACKAGE = Path(__file__).parents[2] / "assistant"
TAGS = sorted(p.name for p in (PACKAGE.parent / "grammars").iterdir() if p.is_dir())
EN, KO = Language.load("en-US"), Language.load("ko-KR")
_MAKERS = {"problem", "TighteningError"}


def told_codes() -> Iterator[tuple[str, frozenset[str] | None]]:
    """(code, names of its parameters) of every problem made in the code; None: not spelled out."""
    makes = re.compile(rf"\b({'|'.join(_MAKERS)})\(")
    texts = (path.read_text("utf-8") for path in sorted(PACKAGE.rglob("*.py")))
    for text in filter(makes.search, texts):  # reading a module as a tree takes long
        for node in ast.walk(ast.parse(text)):
            if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Name)):
                continue
            if node.func.id in _MAKERS and node.args and isinstance(node.args[0], ast.Constant):
                names = [k.arg for k in node.keywords]
                spelled = None if None in names else frozenset(n for n in names if n)
                yield str(node.args[0].value), spelled


def places(text: str) -> set[str]:
    """The names in braces."""
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


def hangul_only(text: str) -> bool:
    """No Latin letters but unit symbols, which stand apart so that they are spoken as units."""
    return not re.search(r"[A-Za-z]", re.sub(r"\b(mm|N[*·]m)(?![\w])", "", text))


CODES = dict(told_codes())


def test_the_problems_are_found_in_the_code() -> None:
    assert len(CODES) > 35


@pytest.mark.parametrize("tag", TAGS)
def test_every_language_has_the_same_problems_with_the_same_places(tag: str) -> None:
    words, english = Language.load(tag).sources.problems, EN.sources.problems
    assert set(words) == set(english)
    # a language may leave something out, but has nothing to fill other places with
    assert {c: sorted(places(words[c]) - places(english[c])) for c in words} == {
        c: [] for c in english
    }


@pytest.mark.parametrize("code", sorted(CODES))
def test_what_the_code_tells_has_words_for_all_that_varies(code: str) -> None:
    given = CODES[code]
    if given is not None:
        assert places(EN.sources.problems[code]) == given
    assert code in EN.sources.problems


def test_no_words_are_left_over() -> None:
    made = set(CODES) | {code for _, code in _PROBLEMS}
    made |= {"kind_" + kind for kind in get_args(ToolKind)} | {"shims_uncertain", "shims_none_fit"}
    assert made == set(EN.sources.problems)


@pytest.mark.uncounted
@pytest.mark.parametrize("code", sorted(EN.sources.problems))
def test_every_problem_is_korean_through_and_through(code: str) -> None:
    filled = dict.fromkeys(places(EN.sources.problems[code]), "12")
    said = KO.told(problem(code, **filled))
    assert hangul_only(said), said


@pytest.mark.parametrize("marks", [marks for marks, _ in _PROBLEMS])
def test_every_trouble_of_the_store_is_told_with_its_place(marks: tuple[str, ...]) -> None:
    fault = OperationalError("INSERT", {}, Exception(marks[0]))
    error = explain(fault, make_url("sqlite:///7.db"))
    assert str(error).startswith("Nothing was recorded: ")
    assert "the file 7.db" in str(error)
    said = KO.prompt("cannot_record", why=error.told)
    assert hangul_only(said.replace("7.db", ""))
    assert "7.db" in said


@pytest.mark.parametrize("kind", get_args(ToolKind))
def test_every_kind_of_tool_has_its_name(kind: ToolKind) -> None:
    assert in_english(kind_name(kind)) == kind.replace("_", " ")
    found = pick_tool([], Need(kind), date(2026, 1, 5))
    assert isinstance(found, Problem)
    assert hangul_only(KO.told(found))


def test_values_and_days_come_through_unchanged() -> None:
    tool = BenchTool(
        id="w", kind="torque_wrench", name="렌치", unit="N*m", resolution=parse_amount("1 N*m"),
        upper=parse_amount("40 N*m"), calibration_due=date(2025, 12, 24),
    )  # fmt: skip
    need = Need("torque_wrench", parse_amount("60 N*m"), parse_amount("60 N*m"))
    found = tool_findings(tool, need, date(2026, 1, 5))
    said = " ".join(KO.told(f.problem) for f in found)
    for part in ("2025-12-24", "60 N·m", "40 N·m"):
        assert part in said
    assert hangul_only(said)


def test_shims_that_do_not_fit_are_told_in_korean() -> None:
    limits = Limits(parse_amount("0.1 mm"), parse_amount("0.2 mm"))
    stock = [ShimStock(parse_amount("1 mm"), 1)]
    found = choose_shims(ShimGap(parse_amount("0.5 mm")), limits, stock)
    assert isinstance(found, Problem)
    said = KO.prompt("shims_none", why=found)
    assert hangul_only(said)
    assert "0.5 mm" in said


def test_a_sentence_stays_as_it_is() -> None:
    assert KO.told("Nobody foresaw this.") == "Nobody foresaw this."
    assert EN.prompt("told", sentence="As it is.") == "As it is."
