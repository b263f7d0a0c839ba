"""Sentences that the code tells in English have Korean ones, read out of the code itself."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from pathlib import Path
from typing import get_args

import pytest

from assistant.journal.trouble import _SENTENCES
from assistant.language import Language
from assistant.language.rewording import Rewording
from assistant.procedure.listed import GaugeKind
from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.bench import BenchTool
from assistant.quantities.limits import Limits
from assistant.quantities.shims import ShimStock, choose_shims
from assistant.quantities.tools import Need, pick_tool, tool_findings

KO = Language.load("ko-KR")
PACKAGE = Path(__file__).parents[2] / "assistant"
_TELLERS = {"ToolFinding", "TighteningError"}
# Faults of a formula that readings cannot bring about are found by the linter, not at the bench.
_FILES = {
    "quantities/tools.py": _TELLERS,
    "quantities/wrench.py": _TELLERS,
    "quantities/passes.py": _TELLERS,
    "quantities/shims.py": set(),
}


def told(file: str, tellers: set[str]) -> Iterator[str]:
    """Sentences of ``file``: what ``tellers`` are given and what is returned as text."""
    for node in ast.walk(ast.parse((PACKAGE / file).read_text(encoding="utf-8"))):
        text: ast.expr | None = None
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            text = node.args[0] if node.func.id in tellers and node.args else None
        elif isinstance(node, ast.Return):
            text = node.value
        if isinstance(text, ast.JoinedStr):
            yield "".join(_example(part) for part in text.values)
        elif isinstance(text, ast.Constant) and isinstance(text.value, str):
            yield text.value


def _example(part: ast.expr) -> str:
    if isinstance(part, ast.Constant):
        return str(part.value)
    return "12 mm to 15 mm" if "limits" in ast.unparse(part) else "12 mm"


def hangul_only(text: str) -> bool:
    """No Latin letters but unit symbols, which stand apart so that they are spoken as units."""
    return not re.search(r"[A-Za-z]", re.sub(r"\b(mm|N\*m)(?![\w])", "", text))


SENTENCES = [(f, s) for f, tellers in _FILES.items() for s in told(f, tellers) if " " in s]


def test_the_sentences_are_found_in_the_code() -> None:
    assert len(SENTENCES) > 28
    assert {file for file, _ in SENTENCES} == set(_FILES)


@pytest.mark.parametrize(("file", "sentence"), SENTENCES)
def test_every_sentence_has_its_korean(file: str, sentence: str) -> None:
    said = KO.prompt("told", sentence=sentence)
    assert hangul_only(said), f"{file}: {sentence}"


@pytest.mark.parametrize("sentence", [s for _, s in _SENTENCES])
def test_every_trouble_of_the_store_has_its_korean(sentence: str) -> None:
    english = f"Nothing was recorded: {sentence.format(where='the file 7.db')}."
    said = KO.prompt("cannot_record", why=english)
    assert hangul_only(said.replace("7.db", ""))
    assert "7.db" in said


@pytest.mark.parametrize("kind", get_args(GaugeKind))
def test_every_kind_of_tool_has_its_name(kind: str) -> None:
    found = pick_tool([], Need(kind), date(2026, 1, 5))  # type: ignore[arg-type]
    assert isinstance(found, str)
    assert hangul_only(KO.prompt("told", sentence=found))


def test_values_and_days_come_through_unchanged() -> None:
    tool = BenchTool(
        id="w", kind="torque_wrench", name="렌치", unit="N*m", resolution=parse_amount("1 N*m"),
        upper=parse_amount("40 N*m"), calibration_due=date(2025, 12, 24),
    )  # fmt: skip
    found = tool_findings(tool, Need.of_torque(parse_amount("60 N*m")), date(2026, 1, 5))
    said = KO.prompt("told", sentence=" ".join(f.sentence for f in found))
    assert "2025-12-24" in said
    assert "60 N*m" in said
    assert "40 N*m" in said
    assert hangul_only(said)


def test_shims_that_do_not_fit_are_told_in_korean() -> None:
    limits = Limits(parse_amount("0.1 mm"), parse_amount("0.2 mm"))
    stock = [ShimStock(parse_amount("1 mm"), 1)]
    found = choose_shims(Amount(Fraction(1, 2), "mm"), limits, stock)
    assert isinstance(found, str)
    said = KO.prompt("shims_none", why=found)
    assert hangul_only(said)
    assert "0.5 mm" in said


def test_a_sentence_without_a_korean_one_stays_as_it_is() -> None:
    assert Rewording({"a {b}": "{b}"})("Nobody foresaw this.") == "Nobody foresaw this."
    assert Language.load("en-US").prompt("told", sentence="As it is.") == "As it is."
