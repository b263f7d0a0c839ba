"""A rehearsal speaks every procedure through to its end."""

from __future__ import annotations

import pytest

from assistant.dialogue.context import Context
from assistant.language import Language
from assistant.session.rehearsal import RehearsalError, rehearse
from tests.dialogue.kit import GAUGES, procedure
from tests.session.kit import demo_context


@pytest.mark.parametrize(
    "name",
    [
        "kb2_input_shaft",
        "kb2_output_bearing",
        "kb2_coupling_guard",
        "kb2_intermediate_shaft",
        "kb2_gauge_practice",
        "kb7_pipe_flange",
        "kb9_standby_engine",
        "kb7_tailrace_pump",
        "kb2_bevel_drive",
        "kb5_lathe_spindle",
    ],
)
def test_every_shipped_procedure_can_be_spoken_through(name: str) -> None:
    context = demo_context(name)
    scenes = rehearse(context)
    said = " ".join(text for scene in scenes for text in scene.said)
    assert "local codes" in said
    for step in context.procedure.steps:
        if step.when is None:
            assert step.title in [scene.title for scene in scenes]
    assert all(scene.words > 0 for scene in scenes)


def test_a_procedure_that_stays_is_named() -> None:
    stuck = procedure(
        {"id": "first", "kind": "action", "after": ["second"]}, {"id": "second", "kind": "action"}
    )
    with pytest.raises(RehearsalError, match="does not come to its end"):
        rehearse(Context(stuck, demo_context().language))


def test_a_rehearsal_that_gets_stuck_tells_what_it_reached_once() -> None:
    box = {"id": "box", "kind": "shim_set", "name": "shims", "unit": "mm", "resolution": "0.05 mm",
           "members": ["0.5 mm"]}  # fmt: skip
    gap = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "mm", "gauge": "mic",
           "lower": "0.4 mm", "upper": "1.2 mm", "plausible_low": "0 mm",
           "plausible_high": "3 mm"}  # fmt: skip
    shims = {"id": "shim", "kind": "shims", "quantity": "play", "unit": "mm", "gap": "gap",
             "stock": "box", "lower": "0.1 mm", "upper": "0.2 mm"}  # fmt: skip
    stuck = procedure(gap, shims, gauges=[*GAUGES, box])
    with pytest.raises(RehearsalError, match="stops at 'shim'") as found:
        rehearse(Context(stuck, Language.load("en-US")))
    last = found.value.reached[-1].said
    assert len([text for text in last if "No shims fit" in text]) == 1
    assert len(last) < 12
