"""The JSON Schema, judged by an independent validator (the jsonschema library)."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from ruamel.yaml import YAML

from assistant.procedure.faults import FaultList
from assistant.procedure.loader import find_procedures
from assistant.procedure.schema import json_schema, schema_text
from assistant.procedure.yaml_source import read_source
from tests.procedure.kit import Data, sound_data, step_of

SHIPPED = [p for p in find_procedures() if p.stem.startswith("kb2_")]


def test_it_is_a_valid_schema() -> None:
    Draft202012Validator.check_schema(json_schema())
    assert json.loads(schema_text()) == json_schema()


@pytest.mark.uncounted
@pytest.mark.parametrize("path", SHIPPED, ids=lambda p: p.stem)
def test_an_editor_accepts_the_shipped_procedures(path: Path) -> None:
    """As an editor sees them: YAML 1.2 numbers are numbers, everything else is text."""
    data = YAML(typ="safe", pure=True).load(path.read_text(encoding="utf-8"))
    data["governing"]["date"] = str(data["governing"]["date"])
    errors = list(Draft202012Validator(json_schema()).iter_errors(data))
    assert errors == []
    assert read_source(path, FaultList(path)).data["id"] == data["id"]


@pytest.mark.uncounted
@pytest.mark.parametrize(
    "spoil",
    [
        lambda d: d.pop("governing"),
        lambda d: d.update(titel="x"),
        lambda d: step_of(d, "bolts").pop("target"),
        lambda d: step_of(d, "bolts").update(target="twelve"),
        lambda d: step_of(d, "gap").update(unit="furlong"),
        lambda d: step_of(d, "tidy").update(kind="act"),
        lambda d: d["gauges"][0].update(kind="dail"),
    ],
)
def test_an_editor_marks_what_the_loader_would_refuse(spoil: Callable[[Data], object]) -> None:
    data = sound_data()
    assert list(Draft202012Validator(json_schema()).iter_errors(data)) == []
    spoil(data)
    assert list(Draft202012Validator(json_schema()).iter_errors(data))
