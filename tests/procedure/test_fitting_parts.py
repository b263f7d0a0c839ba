"""Shims, adapters, prevailing torque and bolts in print, compared, in faults, in starters."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from assistant.procedure.describe import describe
from assistant.procedure.kinds.shims import ShimStep
from assistant.procedure.lint import lint
from assistant.procedure.loader import ProcedureFaults, load_procedure
from assistant.procedure.models import Procedure
from assistant.procedure.revision_diff import compare
from assistant.procedure.schema import json_schema
from assistant.procedure.starter import starter
from assistant.procedure.unit_translation import translations
from tests.procedure.kit import Data, sound_data, step_of, write_yaml
from tests.procedure.test_lint_fitting import fitting


def data_with_fitting() -> Data:
    data = sound_data()
    fitting(data)
    return data


def printed(heading: str) -> list[str]:
    lines = describe(Procedure.model_validate(data_with_fitting())).splitlines()
    start = next(i for i, line in enumerate(lines) if heading in line)
    end = next((i for i in range(start, len(lines)) if not lines[i]), len(lines))
    return lines[start:end]


def test_the_setting_and_what_it_comes_from_are_on_the_paper() -> None:
    lines = printed("[tightening]")
    assert lines[-4:] == [
        "   Add the prevailing torque 1 lbf*ft of the locking nuts.",
        "   Adapter 2 in on a wrench of 12 in, at 90 deg to it.",
        "   SET THE WRENCH TO: 7.0 lbf*ft, 13.0 lbf*ft.",
        "   Bolt 5/16-18, grade 5.",
    ]


def test_the_shims_step_and_its_set_are_on_the_paper() -> None:
    assert printed("[shims]")[-3:] == [
        "   Choose shims from Shim rings for Gap, so that the float in thou comes within its",
        "     limits.",
        "   LIMITS: 1 thou to 3 thou.",
    ]
    assert "  - Shim rings: 1 thou, 1 thou, 2 thou" in describe(
        Procedure.model_validate(data_with_fitting())
    )


def told(**fields: Any) -> list[str]:
    before, after = data_with_fitting(), data_with_fitting()
    step_of(after, "bolts").update(copy.deepcopy(fields))
    changes = compare(Procedure.model_validate(before), Procedure.model_validate(after))
    return [str(c) for c in changes]


def test_a_comparison_names_what_changed_of_an_adapter_or_a_bolt() -> None:
    assert told(adapter={"length": "12 in", "extension": "2.5 in", "angle": "90 deg"}) == [
        "bolts: adapter extension changed from 2 in to 2.5 in"
    ]
    assert told(bolt={"thread": "5/16-24", "grade": "grade 5"}) == [
        "bolts: bolt thread changed from '5/16-18' to '5/16-24'"
    ]
    assert told(prevailing="2 lbf*ft") == ["bolts: prevailing changed from 1 lbf*ft to 2 lbf*ft"]


def test_a_comparison_tells_of_an_adapter_that_comes_or_goes() -> None:
    assert told(adapter=None) == [
        "bolts: adapter removed (it was length 12 in, extension 2 in, angle 90 deg)"
    ]
    before = data_with_fitting()
    step_of(before, "bolts").pop("bolt")
    changes = compare(
        Procedure.model_validate(before), Procedure.model_validate(data_with_fitting())
    )
    assert [str(c) for c in changes] == ["bolts: bolt added: thread 5/16-18, grade grade 5"]


def test_the_limits_of_shims_are_translated_inward() -> None:
    """1 thou = 0.0254 mm (NIST SP 811, Appendix B): 0.0254 to 0.0762 mm."""
    procedure = Procedure.model_validate(data_with_fitting())
    lines = [str(t) for t in translations(procedure, "metric")]
    assert "shims: float 1 thou to 3 thou becomes 0.026 mm to 0.076 mm" in lines


FAULTS: list[tuple[dict[str, Any], str, str]] = [
    ({"adapter": {"length": "12 in", "angle": "90 deg"}}, "bolts",
     "'extension' is missing in step 'bolts'; add it, such as 'extension: 50 mm'"),
    ({"bolt": {"grade": "8.8"}}, "bolts",
     "'thread' is missing in step 'bolts'; add it, such as 'thread: M8'"),
    ({"adapter": {"length": "12 in", "extention": "2 in", "angle": "0 deg"}}, "bolts",
     "'extention' is unknown in step 'bolts'; did you mean 'extension'?"),
    ({"bolt": {"size": "M8", "grade": "8.8"}}, "bolts", "did you mean 'thread'?"),
    ({"adapter": "crowfoot"}, "bolts", "'adapter' in step 'bolts' must hold keys of its own"),
    ({"crowfoot": {}}, "bolts", "did you mean 'adapter'?"),
    ({"adapter": {"length": "long", "extension": "2 in", "angle": "0 deg"}}, "bolts",
     "'length' in step 'bolts': 'long' is not a number followed by a unit"),
    ({"gap": None}, "shims", "'gap' is left empty"),
    ({"shims": "rings"}, "shims", "did you mean 'stock'?"),
]  # fmt: skip


@pytest.mark.parametrize(("fields", "step", "words"), FAULTS)
def test_a_fault_of_form_is_told_in_words(
    tmp_path: Path, fields: dict[str, Any], step: str, words: str
) -> None:
    data = data_with_fitting()
    step_of(data, step).update(fields)
    path = tmp_path / "p.yaml"
    write_yaml(data, path)
    with pytest.raises(ProcedureFaults) as caught:
        load_procedure(path)
    said = str(caught.value)
    assert words in said
    assert all(f.line > 0 for f in caught.value.faults)


def test_an_editor_knows_the_new_parts() -> None:
    validator = Draft202012Validator(json_schema())
    assert list(validator.iter_errors(data_with_fitting())) == []
    for step, key, value in (
        ("bolts", "adapter", {"length": "12 in"}),
        ("bolts", "bolt", "M8"),
        ("bolts", "prevailing", "much"),
        ("shims", "stock", ["rings"]),
    ):
        data = data_with_fitting()
        step_of(data, step)[key] = value
        assert list(validator.iter_errors(data))


def test_a_list_with_shims_makes_a_starter_that_loads_and_is_refused(tmp_path: Path) -> None:
    text = starter("kind,say,unit,lower,upper\nshims,Fit rings.,mm,0.1 mm,0.2 mm\n", "csv")
    path = tmp_path / "rings.yaml"
    path.write_text(text, encoding="utf-8")
    procedure = load_procedure(path)
    (step,) = procedure.steps
    assert isinstance(step, ShimStep)
    assert str(step.limits) == "0.1 mm to 0.2 mm"
    errors = [f.message for f in lint(procedure) if f.level == "error"]
    assert any("note to the writer" in e for e in errors)
    assert any("'todo_name_a_measurement' is not a step" in e for e in errors)


def test_a_procedure_with_them_comes_back_the_same_from_json() -> None:
    procedure = Procedure.model_validate(data_with_fitting())
    assert Procedure.model_validate_json(procedure.model_dump_json()) == procedure
