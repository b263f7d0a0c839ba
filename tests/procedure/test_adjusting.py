"""Adjusting as the file gives it: what is checked, printed, started and put in the schema."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.procedure.describe import describe
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.models import Procedure
from assistant.procedure.schema import json_schema
from assistant.procedure.starter import starter
from tests.procedure.kit import Data, sound_data, spoiled, step_of

TURN: dict[str, Any] = {"until": "in", "adjust": "Turn the nut a little.", "tries": 4}


def found(tmp_path: Path, step: str = "gap", **keys: Any) -> list[str]:
    def change(data: Data) -> None:
        step_of(data, step).update(keys)
        for key in [k for k, v in keys.items() if v is None]:
            del step_of(data, step)[key]

    return [f"{f.level}: {f.message}" for f in spoiled(tmp_path, change)]


def test_a_sound_adjustment_has_no_finding(tmp_path: Path) -> None:
    assert found(tmp_path, **TURN) == []
    both: dict[str, Any] = {
        "on_high": "Loosen it.",
        "on_low": {"say": "Place it again.", "back_to": "place"},
    }
    assert found(tmp_path, **both) == []
    assert found(tmp_path, made_by="place") == []
    assert found(tmp_path, step="spread", **TURN) == []


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({"until": "in"}, "error: 'until' is given, but not what to adjust"),
        ({"tries": 3}, "error: 'tries' is given, but not what to adjust"),
        ({"measure_again": "place"}, "error: 'measure_again' is given"),
        ({**TURN, "lower": None, "upper": None}, "error: There is no limit to adjust to"),
        ({"on_high": "Loosen it."}, "warning: A value that is too low cannot be adjusted"),
        ({"on_low": "Tighten it."}, "warning: A value that is too high cannot be adjusted"),
        ({**TURN, "on_low": "Mind it.", "lower": None}, "warning: There is no limit on that side"),
        (
            {"adjust": "Turn it.", "on_high": {"say": "Undo.", "back_to": "bolts"}},
            "error: 'bolts' in 'on_high' comes no earlier",
        ),
        (
            {"adjust": "Turn it.", "on_high": {"say": "Undo.", "back_to": "plase"}},
            "error: 'plase' in 'on_high' is not a step; did you mean 'place'?",
        ),
        ({"made_by": "gap"}, "error: 'gap' in 'made_by' comes no earlier"),
        ({"adjust": "Tighten the nut by 30 degrees more."}, "not announced and acknowledged"),
        ({"adjust": "TODO what to adjust"}, "error: 'adjust' still holds a note to the writer"),
    ],
)
def test_what_cannot_be_adjusted_is_told(tmp_path: Path, keys: dict[str, Any], told: str) -> None:
    messages = found(tmp_path, **keys)
    assert any(told in m for m in messages), messages


def test_it_is_printed_and_read_back_as_it_was_written() -> None:
    data = sound_data()
    step_of(data, "gap").update(TURN, on_low={"say": "Place it again.", "back_to": "place"})
    procedure = Procedure.model_validate(data)
    printed = " ".join(describe(procedure).split())
    assert "Out of limits: Turn the nut a little. At most 4 adjustments." in printed
    assert "Too low: Place it again. Then step 'place' again." in printed
    again = Procedure.model_validate(procedure.model_dump(mode="json"))
    assert again == procedure
    gap = again.step("gap")
    assert isinstance(gap, MeasurementStep)
    assert gap.remedy("high") == gap.remedy("")
    assert gap.remedy("low") != gap.remedy("high")


def test_the_schema_knows_the_keys_and_the_starter_asks_for_them() -> None:
    known = json_schema()["$defs"]["MeasurementStep"]["properties"]
    assert {"until", "adjust", "on_high", "on_low", "tries", "made_by"} <= set(known)
    text = starter(
        "# Job\n1. Adjust the nut until the end float is 0.05 to 0.1 mm.\n2. Fit it.\n", "markdown"
    )
    assert "adjust: TODO what to adjust" in text
    assert "kind: measurement" in text
    assert text.count("adjust: TODO") == 1
