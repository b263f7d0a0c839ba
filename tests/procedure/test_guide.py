"""Every example in the guide to writing procedures is loaded, linted and run as it says."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from assistant.procedure.kinds import STEP_KINDS
from assistant.procedure.lint import lint, lint_file
from assistant.procedure.loader import ProcedureFaults, load_procedure
from assistant.procedure.models import Procedure
from assistant.procedure.revision_diff import in_words
from assistant.procedure.starter import starter
from assistant.quantities.amount import parse_amount
from assistant.quantities.formula import evaluate, names_in
from assistant.quantities.tools import Bench
from assistant.quantities.units import UNITS

DOCS = Path(__file__).parents[2] / "docs"
GUIDE = (DOCS / "writing-procedures.md").read_text(encoding="utf-8")


def blocks(language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```$", GUIDE, re.S | re.M)


def whole() -> str:
    (text,) = [b for b in blocks("yaml") if b.startswith("id:")]
    return text


def fragments() -> list[str]:
    return [b for b in blocks("yaml") if b.startswith("- id:") and b not in gauge_fragments()]


def gauge_fragments() -> list[str]:
    """Those that belong under ``gauges:``, as the words before them say."""
    listed = re.compile("kind: (shim_set|angle_gauge)|  kind: thermometer")
    return [b for b in blocks("yaml") if b.startswith("- id:") and listed.search(b)]


def indented(parts: list[str]) -> str:
    lines = [line for part in parts for line in [*part.splitlines()]]
    return "".join(f"  {line}\n" if line else "\n" for line in lines)


def write(tmp_path: Path, text: str, name: str = "cover.yaml") -> Path:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def test_no_example_is_left_out() -> None:
    assert len(fragments()) + len(gauge_fragments()) + 1 == len(blocks("yaml"))
    assert len(fragments()) >= 10
    assert len(gauge_fragments()) == 3


def test_the_worked_example_has_no_finding(tmp_path: Path) -> None:
    assert lint_file(write(tmp_path, whole())) == []


def test_the_steps_can_be_pasted_into_the_worked_example(tmp_path: Path) -> None:
    """Pasted in their order after the tightening, as the guide says, without a single finding."""
    text = whole().replace("name: Inspection cover}", "name: Inspection cover, marked: true}")
    head, tail = text[: text.index("  - id: accept")], text[text.index("  - id: accept") :]
    head = head.replace("consumables:\n", indented(gauge_fragments()) + "\nconsumables:\n")
    pasted = indented(fragments())
    path = write(tmp_path, head + pasted + tail)
    findings = lint_file(path)
    assert findings == []
    kinds = {s.kind for s in load_procedure(path).steps}
    assert kinds == set(STEP_KINDS)


def test_the_faults_shown_are_the_faults_found(tmp_path: Path) -> None:
    spoiled = whole().replace("target: 18 N*m", "torque: 18 Nm")
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
    text = whole().replace("2025-11-03", "'2025-11-03'")
    data = YAML(typ="safe", pure=True).load(text)
    before = Procedure.model_validate(data)
    data["revision"], data["governing"]["revision"] = "B", "D"
    next(s for s in data["steps"] if s["id"] == "tighten")["target"] = "20 N*m"
    (shown,) = blocks("changes")
    assert in_words(before, Procedure.model_validate(data)) == shown


def test_the_units_are_all_and_only_those_there_are() -> None:
    table = GUIDE[GUIDE.index("## Units") : GUIDE.index("Numbers stay")]
    assert set(re.findall(r"`([^`]+)`", table)) == set(UNITS)


def test_the_formulas_shown_are_formulas() -> None:
    """Every formula of the table is computed, with each name as a length, a force or a heat."""
    start = GUIDE.index("| what | formula |")
    table = GUIDE[start : GUIDE.index("\n\n", start)]
    shown = re.findall(r"\| `([^`]+)`", table)
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
        unit = {"pull": "N*m", "hot": "delta_degC", "cold": "degC", "(hot": "delta_degC"}.get(
            formula.split()[0], "mm"
        )
        if "face_slope" in formula or formula.startswith("(rim"):
            unit = "mm/m"
        evaluate(formula, inputs, unit)


def test_the_example_bench_named_is_there() -> None:
    (name,) = re.findall(r"\]\((examples/[^)]+)\)", GUIDE)
    data = YAML(typ="safe", pure=True).load((DOCS / name).read_text(encoding="utf-8"))
    assert Bench.model_validate(data).tools
