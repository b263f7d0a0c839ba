"""Figures and lists that would fill the memory or the day are refused where they are read."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.procedure.loader import ProcedureFaults, load_procedure
from assistant.procedure.starter import starter
from assistant.procedure.step_list import MOST_STEPS, StepListError
from tests.procedure.kit import SOUND


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("passes: [0.5, 1]", 'passes: ["1E-99999999", "1"]', "decimal places"),
        ("passes: [0.5, 1]", 'passes: ["0.5", "1E+99999999"]', "decimal places"),
        ("marked: true", f"marked: true, quantity: {2**53 + 2}", "at most 100000"),
        ("say: Tidy the bench.", 'say: "Tidy \\e[2J the bench."', "control code"),
    ],
)
def test_a_procedure_that_would_hang_is_refused(
    old: str, new: str, told: str, tmp_path: Path
) -> None:
    path = tmp_path / "small.yaml"
    path.write_text(SOUND.replace(old, new), encoding="utf-8")
    with pytest.raises(ProcedureFaults, match=told) as caught:
        load_procedure(path)
    assert len(caught.value.faults) == 1


@pytest.mark.parametrize(
    ("text", "layout"),
    [
        ("1. Clean the bore.\n" * 100_000, "markdown"),
        ("1. Clean\n" + "  the bore\n" * 100_000, "markdown"),
        ("1. " + "*a " * 100_000, "markdown"),
        ("say\n" + "Clean the bore.\n" * 100_000, "csv"),
        ("say\n" + "a" * 6000 + "\n", "csv"),
    ],
)
def test_a_step_list_without_end_is_refused_by_its_line(text: str, layout: str) -> None:
    with pytest.raises(StepListError, match=r"^Line \d+"):
        starter(text, layout)


@pytest.mark.uncounted
def test_steps_of_one_name_are_numbered() -> None:
    made = starter("1. Clean.\n2. Clean.\n3. Clean 2.\n4. Clean.\n", "markdown")
    ids = [x.split()[-1] for x in made.splitlines() if x.strip().startswith("- id:")]
    assert ids == ["clean", "clean_2", "clean_2_2", "clean_3"]
    assert len(starter("1. Clean.\n" * MOST_STEPS, "markdown").split("- id: clean")) > MOST_STEPS
