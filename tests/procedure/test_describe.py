"""The printed procedure: everything that keeps a builder safe is on the paper."""

from __future__ import annotations

import pytest

from assistant.procedure.describe import WIDTH, describe
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.loader import find_procedures
from assistant.procedure.models import Procedure
from assistant.procedure.step import LimitedStep
from tests.procedure.kit import sound
from tests.shipped import shipped

SHIPPED = {p.stem: p for p in find_procedures() if p.stem.startswith("kb2_")}


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_every_caution_torque_and_limit_is_printed(name: str) -> None:
    procedure = shipped(name)
    text = flat(describe(procedure))
    for step in procedure.steps:
        assert flat(step.say) in text
        for caution in step.cautions:
            assert "! CAUTION: " + flat(caution) in text
        if step.kind == "caution":
            assert "! CAUTION: " + flat(step.say) in text
        if isinstance(step, TighteningStep):
            assert f"TORQUE {step.target} plus or minus {step.tolerance}" in text
            assert flat(", ".join(step.fasteners)) in text
        if isinstance(step, LimitedStep):
            assert f"LIMITS: {step.limits}" in text


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_it_prints_within_its_width_and_names_who_governs(name: str) -> None:
    text = describe(shipped(name))
    assert max(map(len, text.splitlines())) <= WIDTH
    assert text.endswith("\n")
    assert "revision C" in text
    assert "licensed practice govern" in text


def printed(procedure: Procedure, heading: str) -> list[str]:
    lines = describe(procedure).splitlines()
    start = next(i for i, line in enumerate(lines) if heading in line)
    end = next((i for i in range(start, len(lines)) if not lines[i]), len(lines))
    return lines[start:end]


def test_a_tightening_reads_as_on_a_job_card() -> None:
    assert printed(sound(), "[tightening]") == [
        "7. Bolts [tightening]",
        "   Tighten the bolts.",
        "   TORQUE 12 lbf*ft plus or minus 1 lbf*ft, thread lubricated with Machine oil, with",
        "     Wrench.",
        "   Passes: 50 % (6 lbf*ft), 100 % (12 lbf*ft).",
        "   Pattern cross; fasteners: bolt one, bolt two, bolt three, bolt four.",
    ]


def test_conditions_and_holds_are_in_words() -> None:
    assert printed(sound(), "4. Place")[1] == "   Only when choice seal is lip."
    assert printed(sound(), "[inspection]")[1:] == [
        "   After: Cure.",
        "   Call the inspector.",
        "   HOLD POINT. A second person accepts when: All marked.",
    ]
