"""What the check says of values of a log that a later step takes."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.procedure.kit import Data, spoiled

THERMO: Data = {
    "id": "thermo", "kind": "thermometer", "name": "Thermometer", "unit": "degC",
    "resolution": "0.1 degC", "lower": "0 degC", "upper": "150 degC",
}  # fmt: skip
READ: Data = {"unit": "degC", "gauge": "thermo", "upper": "70 degC", "plausible_low": "0 degC",
              "plausible_high": "120 degC"}  # fmt: skip
LOG: Data = {
    "id": "run_in", "kind": "log", "title": "Run in", "say": "Start the pump.", "every": "10 min",
    "for": "30 min", "stop": "Press stop.", "cautions": ["Keep your sleeves away."],
    "readings": [{"quantity": "front bearing", **READ}, {"quantity": "rear bearing", **READ}],
}  # fmt: skip


def found(tmp_path: Path, *steps: Data) -> list[str]:
    def change(data: Any) -> None:
        data["gauges"].append(THERMO)
        data["steps"] += [LOG, *steps]

    texts = [str(finding) for finding in spoiled(tmp_path, change)]
    return [text for text in texts if "'warm'" in text or "'cool'" in text]


def taken(source: str, unit: str) -> Data:
    return {
        "id": "warm", "kind": "derived", "title": "Rise", "say": "The rise.", "unit": unit,
        "quantity": "rise", "formula": "x", "inputs": {"x": source}, "upper": f"20 {unit}",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("source", "unit"),
    [("run_in.front bearing.rise", "delta_degC"), ("run_in.rear bearing.rate", "degC/h"),
     ("run_in.rear bearing.last", "degC")],
)  # fmt: skip
def test_a_value_of_a_log_is_taken_in_its_unit(tmp_path: Path, source: str, unit: str) -> None:
    assert found(tmp_path, taken(source, unit)) == []


@pytest.mark.parametrize(
    ("source", "hint"),
    [
        ("run_in", "use one of: run_in.front bearing.first"),
        ("run_in.rise", "did you mean 'run_in.rear bearing.rise'"),
        ("run_in.front bearing.rize", "did you mean 'run_in.front bearing.rise'?"),
        ("run_in.frnt bearing.rate", "did you mean 'run_in.front bearing.rate'?"),
    ],
)
def test_a_name_that_a_log_does_not_have(tmp_path: Path, source: str, hint: str) -> None:
    (text, *_) = found(tmp_path, taken(source, "delta_degC"))
    assert hint in text


def test_a_rise_is_no_temperature(tmp_path: Path) -> None:
    assert found(tmp_path, taken("run_in.front bearing.rise", "degC")) != []


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ({"run_in.front bearing.last": "above 50 degC"}, ""),
        ({"run_in": "above 50 degC"}, "has no value"),
        ({"run_in.front bearing.rate": "above 5 degC"}, "is not in degC/min"),
        ({"gap.top": "above 3 thou"}, ""),
        ({"gap.left": "above 3 thou"}, "is no place of 'gap'"),
        ({"gap": "above 3 thou"}, "has several values"),
    ],
)
def test_conditions_on_one_of_several_values(tmp_path: Path, value: Data, told: str) -> None:
    step = {"id": "cool", "kind": "action", "title": "Cool", "say": "Let it stand.",
            "when": {"value": value}}  # fmt: skip
    texts = found(tmp_path, step)
    assert told in " ".join(texts)
    assert bool(texts) is bool(told)
