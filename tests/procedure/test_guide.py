"""The way in to writing procedures: what it shows loads, and is said as the page has it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

import pytest
from ruamel.yaml import YAML

from assistant.procedure.lint import lint, lint_file
from assistant.procedure.loader import ProcedureFaults, load_procedure
from assistant.procedure.models import Procedure
from assistant.procedure.revision_diff import in_words
from assistant.procedure.starter import starter
from assistant.quantities.bench import ToolKind
from assistant.quantities.tools import Bench
from assistant.quantities.units import UNITS
from tests.procedure.guide import DOCS, WAY_IN, fenced, worked_example

GUIDE = WAY_IN.read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return fenced(GUIDE, language)


def write(tmp_path: Path, text: str, name: str = "cover.yaml") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def test_the_worked_example_has_no_finding(tmp_path: Path) -> None:
    assert lint_file(write(tmp_path, worked_example())) == []


def test_the_faults_shown_are_the_faults_found(tmp_path: Path) -> None:
    spoiled = worked_example().replace("target: 18 N*m", "torque: 18 Nm")
    path = write(tmp_path, spoiled)
    with pytest.raises(ProcedureFaults) as caught:
        load_procedure(path)
    (shown,) = blocks("faults")
    assert str(caught.value).replace(str(path), "cover.yaml") == shown.strip()


@pytest.mark.parametrize("layout", ["markdown", "csv"])
def test_the_lists_make_starters_that_load_and_are_refused(tmp_path: Path, layout: str) -> None:
    (text,) = blocks(layout)
    procedure = load_procedure(write(tmp_path, starter(text, layout)))
    assert {"caution", "measurement", "tightening"} <= {s.kind for s in procedure.steps}
    assert any(f.level == "error" and "note to the writer" in f.message for f in lint(procedure))


def test_the_changes_shown_are_the_changes_found() -> None:
    text = worked_example().replace("2025-11-03", "'2025-11-03'")
    data = YAML(typ="safe", pure=True).load(text)
    before = Procedure.model_validate(data)
    data["revision"], data["governing"]["revision"] = "B", "D"
    next(s for s in data["steps"] if s["id"] == "tighten")["target"] = "20 N*m"
    (shown,) = blocks("changes")
    assert in_words(before, Procedure.model_validate(data)) == shown


def test_the_units_are_all_and_only_those_there_are() -> None:
    table = GUIDE[GUIDE.index("## Units") : GUIDE.index("Numbers stay")]
    assert set(re.findall(r"`([^`]+)`", table)) == set(UNITS)


def test_the_kinds_of_gauge_are_all_and_only_those_there_are() -> None:
    listed = GUIDE[GUIDE.index("The kinds of gauge are") : GUIDE.index("Before each step the")]
    assert set(re.findall(r"`([^`]+)`", listed)) == set(get_args(ToolKind))


def test_the_example_bench_named_is_there() -> None:
    (name,) = re.findall(r"\]\((examples/[^)]+)\)", GUIDE)
    data = YAML(typ="safe", pure=True).load((DOCS / name).read_text(encoding="utf-8"))
    assert Bench.model_validate(data).tools
