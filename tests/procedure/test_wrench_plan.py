"""What a step sets on its wrench, against the published extension formula."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from assistant.language.english import in_english
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.tightening.plan import plan_of
from assistant.procedure.models import Procedure
from assistant.quantities.problem import Problem
from tests.procedure.kit import sound_data, step_of


def settings_of(wrench: dict[str, str], **fields: Any) -> list[str]:
    data = sound_data()
    data["gauges"][1].update(wrench)
    step_of(data, "bolts").update(fields)
    procedure = Procedure.model_validate(data)
    step = procedure.step("bolts")
    assert isinstance(step, TighteningStep)
    plan = plan_of(procedure, step)
    if isinstance(plan, Problem):
        return [in_english(plan)]
    return [str(setting.setting) for setting in plan if setting is not None]


INCH_POUNDS = {
    "unit": "lbf*in", "resolution": "0.1 lbf*in", "lower": "40 lbf*in", "upper": "200 lbf*in",
}  # fmt: skip


@pytest.mark.parametrize(
    ("extension", "angle", "expected"),
    [
        # FAA AC 43.13-1B figure 7-2 (from memory): lever of 10 in, adapter of 1.5 in straight on,
        # 135 lbf*in wanted: 135 x 10 / (10 + 1.5) = 117.39; pointing back: 135 x 10 / (10 - 1.5)
        ("1.5 in", "0 deg", "117.4 lbf*in"),
        ("1.5 in", "180 deg", "158.8 lbf*in"),
        # square to the wrench the lever is unchanged
        ("1.5 in", "90 deg", "135 lbf*in"),
        ("3 in", "90 deg", "135 lbf*in"),
    ],
)
def test_the_extension_formula(extension: str, angle: str, expected: str) -> None:
    adapter = {"length": "10 in", "extension": extension, "angle": angle}
    found = settings_of(
        INCH_POUNDS, target="135 lbf*in", tolerance="2 lbf*in", passes=["1"], adapter=adapter
    )
    assert [Fraction(str(f).split()[0]) for f in found] == [Fraction(expected.split()[0])]


def test_the_prevailing_torque_is_added_to_every_pass() -> None:
    """FAA AC 43.13-1B chapter 7 (from memory): the drag of the nut is added to the torque."""
    assert settings_of({}, prevailing="2.5 lbf*ft") == ["8.5 lbf*ft", "14.5 lbf*ft"]


def test_why_there_is_no_setting_is_one_sentence() -> None:
    (told,) = settings_of({}, target="30 lbf*ft")
    assert "over the tool's range" in told
    assert "not listed" in str(settings_of({}, tool="other"))
