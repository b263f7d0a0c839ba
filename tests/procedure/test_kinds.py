"""Every step kind is one entry of one list; all that a file may say of steps comes from it."""

from __future__ import annotations

import ast
from pathlib import Path
from typing import get_args

import pytest

import assistant.procedure
from assistant.procedure.kinds import KINDS, STEP_KINDS, kind_of
from assistant.procedure.kinds.kind import StepKind
from assistant.procedure.models import Procedure
from assistant.procedure.schema import json_schema
from assistant.procedure.step import Step

ROOM = Path(assistant.procedure.__file__).parent
MODELS = {kind.model.__name__ for kind in KINDS}


def test_the_word_of_a_kind_is_the_one_its_model_takes() -> None:
    for kind in KINDS:
        assert get_args(kind.model.model_fields["kind"].annotation) == (kind.kind,)
    assert len(set(STEP_KINDS)) == len(KINDS)


def test_the_schema_offers_every_kind_and_no_other() -> None:
    items = json_schema()["properties"]["steps"]["items"]
    assert set(items["discriminator"]["mapping"]) == set(STEP_KINDS)
    assert len(items["oneOf"]) == len(KINDS)


def test_a_kind_that_leaves_something_unsaid_cannot_be_made() -> None:
    class Half(StepKind[Step]):
        kind = "half"
        model = Step

    with pytest.raises(TypeError, match=r"check.*figures.*hands_on.*start"):
        Half()  # type: ignore[abstract]  # which is what is refused


def test_a_step_finds_its_kind() -> None:
    procedure = Procedure.model_validate(
        {
            "id": "p", "title": "T", "revision": "A",
            "governing": {"title": "M", "revision": "A", "date": "2026-01-01"},
            "steps": [{"id": "a", "kind": "action", "title": "Wipe", "say": "Wipe the seat."}],
        }
    )  # fmt: skip
    assert kind_of(procedure.steps[0]).kind == "action"
    assert type(procedure.steps[0]) is kind_of(procedure.steps[0]).model


@pytest.mark.parametrize(
    "path",
    [p for p in sorted(ROOM.rglob("*.py")) if "kinds" not in p.parts],
    ids=lambda p: p.stem,
)
def test_nothing_beside_the_kinds_names_one(path: Path) -> None:
    names = {n.id for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Name)}
    assert not names & MODELS


@pytest.mark.parametrize("kind", KINDS, ids=lambda k: k.kind)
def test_a_kind_names_no_other(kind: StepKind[Step]) -> None:
    place = ROOM / "kinds" / kind.kind
    files = sorted(place.glob("*.py")) if place.is_dir() else [place.with_suffix(".py")]
    assert files
    for path in files:
        tree = ast.walk(ast.parse(path.read_text("utf-8")))
        names = {n.id for n in tree if isinstance(n, ast.Name)}
        assert not names & (MODELS - {kind.model.__name__})


def test_what_a_writer_calls_a_kind_means_one_kind() -> None:
    called = [word for kind in KINDS for word in kind.also_called]
    assert len(called) > 30
    assert len(set(called)) == len(called)
    assert set(called) & set(STEP_KINDS) == set()
