"""Limits from the name of a fit: in the file, checked, printed, and judged by."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.procedure.describe import describe
from assistant.procedure.faults import ProcedureFaults
from assistant.procedure.lint import lint_file
from assistant.procedure.loader import load_procedure
from assistant.procedure.models import Procedure
from assistant.procedure.schema import json_schema
from assistant.procedure.starter import starter
from assistant.procedure.step import LimitedStep
from tests.procedure.kit import sound_data, step_of, write_yaml


def written(tmp_path: Path, **fits: dict[str, Any]) -> Path:
    data = sound_data()
    for name, keys in fits.items():
        step = step_of(data, name)
        for key in ("lower", "upper", "plausible_low", "plausible_high"):
            step.pop(key, None)
        step.update({"unit": "mm", **keys})
    data["gauges"][0].update({"unit": "mm", "resolution": "0.001 mm", "lower": "20 mm",
                              "upper": "30 mm", "uncertainty": "0.002 mm"})  # fmt: skip
    path = tmp_path / "p.yaml"
    write_yaml(data, path)
    return path


BAND = {"plausible_low": "20 mm", "plausible_high": "30 mm"}


def test_a_size_and_a_clearance_have_the_limits_of_their_names(tmp_path: Path) -> None:
    path = written(tmp_path, gap={"fit": "25 H7", **BAND}, spread={"fit": "25 H7/k6"})
    loaded = load_procedure(path)
    gap, spread = loaded.step("gap"), loaded.step("spread")
    assert isinstance(gap, LimitedStep)
    assert isinstance(spread, LimitedStep)
    # ISO 286-2: 25 H7 is 0 to +21 um, k6 +2 to +15 um
    assert str(gap.limits) == "25 mm to 25.021 mm"
    assert str(spread.limits) == "-0.015 mm to 0.019 mm"
    assert lint_file(path) == []
    printed = " ".join(describe(loaded).split())
    assert "LIMITS: 25 mm to 25.021 mm (25 H7)." in printed
    assert Procedure.model_validate(loaded.model_dump(mode="json")) == loaded


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({"fit": "25 H7", "upper": "25.03 mm", **BAND}, "are not those of 25 H7"),
        (
            {"fit": "25 H7/k6", "plausible_low": "-1 mm", "plausible_high": "1 mm"},
            "hole and a shaft",
        ),
        ({"fit": "25 H7", "unit": "degC"}, "does not fit the step's unit"),
    ],
)  # fmt: skip
def test_a_name_that_does_not_fit_the_step_is_told(
    tmp_path: Path, keys: dict[str, Any], told: str
) -> None:
    messages = [f.message for f in lint_file(written(tmp_path, gap=keys))]
    assert any(told in m for m in messages), messages


@pytest.mark.parametrize("name", ["25 Q7", "900 H7", "H7", "25 k6/H7"])
def test_a_name_outside_the_tables_is_told_with_its_line(tmp_path: Path, name: str) -> None:
    with pytest.raises(ProcedureFaults) as caught:
        load_procedure(written(tmp_path, gap={"fit": name, **BAND}))
    (fault,) = caught.value.faults
    assert "'fit' in step 'gap'" in fault.message
    assert fault.line > 1


def test_the_schema_has_the_pattern_and_the_starter_the_name() -> None:
    assert "fit" in json_schema()["$defs"]["DerivedStep"]["properties"]
    text = starter("# Job\n1. Measure the bore, 25 H7.\n2. Fit four M8 screws.\n", "markdown")
    assert "fit: 25 H7" in text
    assert text.count("fit:") == 1
