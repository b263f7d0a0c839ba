"""Places, grids and inputs that pick places: as the file gives them, and as they are checked."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.procedure.describe import describe
from assistant.procedure.faults import ProcedureFaults
from assistant.procedure.lint import lint_file
from assistant.procedure.loader import load_procedure
from assistant.procedure.places import Axis, chosen, picked, reference
from assistant.procedure.schema import json_schema
from tests.procedure.kit import Data, sound, sound_data, spoiled, step_of, write_yaml

GRID = (Axis("main", ("main one", "main two")), Axis("way", ("upright", "across")))


def test_a_name_picks_its_axis_with_or_without_the_axis_word() -> None:
    assert reference("mains.one.upright") == ("mains", ("one", "upright"))
    assert picked(GRID, ("upright", "one")) == {"way": "upright", "main": "main one"}
    assert chosen(GRID, ("main two",), {}) == ("main two upright", "main two across")
    assert chosen(GRID, (), {"way": "across"}) == ("main one across", "main two across")


@pytest.mark.parametrize("picks", [("rear",), ("one", "two")])
def test_a_name_that_no_list_has_or_that_says_it_twice_is_refused(picks: tuple[str, ...]) -> None:
    with pytest.raises(LookupError):
        picked(GRID, picks)


def messages(tmp_path: Path, **changes: Any) -> list[str]:
    def change(data: Data) -> None:
        for name, keys in changes.items():
            step_of(data, name).update(keys)
            for key in [k for k, v in keys.items() if v is None]:
                del step_of(data, name)[key]

    return [str(f.message) for f in spoiled(tmp_path, change)]


def test_a_judged_mean_of_several_places_that_nobody_asked_for_is_warned_of(tmp_path: Path) -> None:
    found = messages(tmp_path, spread={"combine": None})
    assert any("one place out of limits may pass" in m for m in found)
    assert messages(tmp_path, spread={"combine": "mean"}) == []
    assert messages(tmp_path, spread={"combine": None, "each": "position"}) == []


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        (
            {"inputs": {"gap": "gap.rear"}},
            "'rear' is not a place of 'gap'; use one of: top, bottom.",
        ),
        ({"inputs": {"gap": "gap.botom"}}, "did you mean 'bottom'?"),
        ({"each": "main"}, "No input has 'main' to go along"),
        ({"each": "position", "inputs": {"gap": "gap.top"}}, "No input has places to go along"),
        ({"combine": "quarter_turns"}, "takes a measurement at four positions"),
    ],
)
def test_inputs_and_places_that_do_not_fit_are_told(
    tmp_path: Path, keys: dict[str, Any], told: str
) -> None:
    assert any(told in m for m in messages(tmp_path, spread=keys))


def test_inputs_with_other_places_have_no_value_for_each(tmp_path: Path) -> None:
    def change(data: Data) -> None:
        gap = step_of(data, "gap")
        data["steps"].insert(
            data["steps"].index(gap), {**gap, "id": "other", "positions": ["left", "right"]}
        )
        step_of(data, "spread").update(
            each="position", formula="gap - other", inputs={"gap": "gap", "other": "other"}
        )

    found = [f.message for f in spoiled(tmp_path, change)]
    assert any("measured at different places" in m for m in found)


def test_two_computed_values_that_name_each_other_are_told_without_end(tmp_path: Path) -> None:
    def change(data: Data) -> None:
        spread = step_of(data, "spread")
        spread.update(each="position", inputs={"gap": "second"})
        second = {**spread, "id": "second", "inputs": {"gap": "spread"}}
        data["steps"].insert(data["steps"].index(spread) + 1, second)

    assert any("comes no earlier" in f.message for f in spoiled(tmp_path, change))


@pytest.mark.parametrize(
    ("keys", "told"),
    [
        ({"grid": {"main": "one to two"}}, "Give 'positions' or 'grid', not both."),
        ({"positions": ["top.a", "bottom"]}, "holds a point"),
        ({"positions": ["top", "top"]}, "the same name"),
        ({"positions": None, "grid": {a: ["x", "y"] for a in "abcd"}}, "at most three names"),
    ],
)
def test_places_that_cannot_be_told_apart_are_told(
    tmp_path: Path, keys: dict[str, Any], told: str
) -> None:
    assert any(told in m for m in messages(tmp_path, gap=keys))


@pytest.mark.parametrize("wrong", ["five to one", "one to many", "front and rear"])
def test_a_range_that_is_none_is_told_with_its_line(tmp_path: Path, wrong: str) -> None:
    data = sound_data()
    step_of(data, "gap")["positions"] = wrong
    path = tmp_path / "p.yaml"
    write_yaml(data, path)
    with pytest.raises(ProcedureFaults) as caught:
        load_procedure(path)
    (fault,) = caught.value.faults
    assert "one to five" in fault.message
    assert fault.line > 1


def test_a_grid_is_written_printed_and_kept_in_the_schema(tmp_path: Path) -> None:
    data = sound_data()
    del step_of(data, "gap")["positions"]
    step_of(data, "gap")["grid"] = {"cap": "one to two", "side": ["upstream", "downstream"]}
    step_of(data, "spread").update(each="cap")
    path = tmp_path / "p.yaml"
    write_yaml(data, path)
    assert lint_file(path) == []
    printed = " ".join(describe(load_procedure(path)).split())
    assert "at cap one upstream, cap one downstream, cap two upstream" in printed
    assert "For each cap: spread in thou = gap" in printed
    assert "grid" in json_schema()["$defs"]["MeasurementStep"]["properties"]


def test_a_stored_procedure_reads_back_as_it_was_written() -> None:
    procedure = sound()
    assert type(procedure).model_validate(procedure.model_dump(mode="json")) == procedure
