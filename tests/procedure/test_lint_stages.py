"""The linter on stages of a tightening: each slip is reported at its stage."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from assistant.procedure.describe import describe
from assistant.procedure.kinds import kind_of
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.models import Procedure
from tests.procedure.kit import Data, sound_data, spoiled, step_of

SOUND = [{"torque": "6 lbf*ft"}, {"torque": "12 lbf*ft"}, {"turn": "60 deg"}]


def staged(stages: list[dict[str, Any]], **more: Any) -> Any:
    """The change that gives the sound procedure these stages."""

    def change(data: Data) -> None:
        gauge = {"id": "angles", "kind": "angle_gauge", "name": "Angle gauge", "unit": "deg",
                 "resolution": "1 deg"}  # fmt: skip
        if any("turn" in stage for stage in stages):
            data["gauges"].append(gauge)
        step = step_of(data, "bolts")
        del step["target"], step["passes"]
        step["stages"] = stages
        step.update(more)

    return change


def told(tmp_path: Path, change: Any) -> str:
    """What the linter says of the step."""
    return "\n".join(map(str, spoiled(tmp_path, change)))


@pytest.mark.uncounted
@pytest.mark.parametrize(
    "stages",
    [
        SOUND,
        [*SOUND, {"turn": "60 deg"}],
        [{"torque": "12 lbf*ft", "turn": "60 deg"}, {"turn": "30 deg"}],
        [SOUND[1], {"loosen": "180 deg"}, {"torque": "6 lbf*ft"}, {"turn": "90 deg"}],
        [{"loosen": "180 deg"}, {"torque": "6 lbf*ft"}, {"torque": "12 lbf*ft"}],
        [*SOUND[:2], {"check": "12 lbf*ft", "pattern": "ring"}],
        [{"torque": "6 lbf*ft"}, {"torque": "12 lbf*ft", "up_to": "14 lbf*ft"}],
        [{"torque": "6 lbf*ft"}, {"torque": "12 lbf*ft", "minimum": True}],
    ],
)  # fmt: skip
def test_sound_stages_have_no_finding(tmp_path: Path, stages: list[dict[str, Any]]) -> None:
    assert told(tmp_path, staged(stages)) == ""


@pytest.mark.parametrize(
    ("stages", "message"),
    [
        ([{"torque": "6 deg"}], "The torque 6 deg is not a torque"),
        ([{"torque": "6 lbf*ft"}, {"turn": "60 N*m"}], "The turn 60 N*m is not an angle"),
        ([{"torque": "0 lbf*ft"}], "The torque 0 lbf*ft is not above zero"),
        ([{"pattern": "ring"}], "Stage 1 says nothing that is done"),
        ([{"torque": "6 lbf*ft", "loosen": "90 deg"}], "Stage 1 has torque and loosen"),
        ([{"turn": "60 deg"}], "No stage has a torque"),
        ([{"turn": "60 deg"}, {"torque": "6 lbf*ft"}], "Stage 1 turns a fastener that no torque"),
        ([*SOUND, {"torque": "13 lbf*ft"}], "Stage 4 sets a torque after a turn"),
        ([SOUND[1], SOUND[0]], "Stage 2 has 6 lbf*ft after 12 lbf*ft, and torques rise"),
        ([SOUND[1], {"torque": "12 lbf*ft"}], "to go round once more, write 'check: 12 lbf*ft'"),
        ([*SOUND, {"check": "12 lbf*ft"}], "Stage 4 checks a torque after a turn"),
        ([SOUND[1], {"check": "11 lbf*ft"}], "Stage 2 checks at 11 lbf*ft, but they are tightened"),
        ([*SOUND, {"loosen": "90 deg"}], "The last stage leaves the fasteners loose"),
        ([{"torque": "12 lbf*ft", "up_to": "12 lbf*ft"}], "is no more than the torque"),
        ([SOUND[1], {"turn": "60 deg", "minimum": True}], "Only a torque can be the least"),
        ([{"torque": "12 lbf*ft", "up_to": "12.4 lbf*ft"}, *SOUND[2:]], ""),
        ([{"torque": "26 lbf*ft"}], "over the range of tool 'wrench'"),
        ([{"torque": "4 lbf*ft"}, SOUND[1]], "The stage 1 is under the range"),
        ([SOUND[1], {"check": "12 lbf*ft", "pattern": "star"}], "'star' needs at least 5"),
    ],
)  # fmt: skip
def test_a_slip_in_a_stage_is_told(
    tmp_path: Path, stages: list[dict[str, Any]], message: str
) -> None:
    assert message in told(tmp_path, staged(stages))


@pytest.mark.parametrize(
    "both", [{"target": "12 lbf*ft"}, {"angle": "60 deg"}, {"passes": ["0.5", "1"]},
             {"minimum": True}, {"up_to": "14 lbf*ft"}],
)  # fmt: skip
def test_stages_stand_in_place_of_a_target(tmp_path: Path, both: dict[str, Any]) -> None:
    (key,) = both
    said = told(tmp_path, staged(SOUND, **both))
    assert f"The step has 'stages', so '{key}' belongs in one of them; move it." in said


def test_a_most_has_no_meaning_with_an_adapter(tmp_path: Path) -> None:
    arm = {"length": "12 in", "extension": "2 in", "angle": "0 deg"}
    stages = [{"torque": "6 lbf*ft"}, {"torque": "12 lbf*ft", "up_to": "14 lbf*ft"}]
    assert "the most would be another mark" in told(tmp_path, staged(stages, adapter=arm))


def test_turns_without_an_angle_gauge_are_queried(tmp_path: Path) -> None:
    def change(data: Data) -> None:
        staged(SOUND)(data)
        data["gauges"].pop()

    assert "no angle gauge is listed" in told(tmp_path, change)


@pytest.mark.parametrize(
    ("say", "message"),
    [
        ("Tighten the bolts to 12 pound feet.", ""),
        ("Tighten the bolts to 6 pound feet, then to 12 pound feet, then turn 60 degrees.", ""),
        ("Tighten the bolts to 10 pound feet.", "the targets are 6 lbf*ft, 12 lbf*ft"),
        ("Tighten the bolts, then turn on by 90 degrees.", "but the angle is 60 deg"),
    ],
)
def test_figures_in_the_text_are_those_of_a_stage(tmp_path: Path, say: str, message: str) -> None:
    said = told(tmp_path, staged(SOUND, say=say))
    assert message in said if message else said == ""


def test_stages_are_printed_each_with_what_is_done() -> None:
    data = sound_data()
    staged([*SOUND[:2], {"turn": "60 deg"}, {"loosen": "60 deg", "pattern": "ring"}, SOUND[1]],
           left_hand=True)(data)  # fmt: skip
    lines = " ".join(describe(Procedure.model_validate(data)).split())
    assert (
        "Passes, each over all fasteners: 1. to 6 lbf*ft; 2. to 12 lbf*ft; 3. a further turn of "
        "60 deg; 4. loosen by 60 deg (ring); 5. to 12 lbf*ft."
    ) in lines
    assert "LEFT-HAND THREAD: it tightens counterclockwise." in lines


def test_a_step_without_a_torque_can_still_be_printed() -> None:
    data = sound_data()
    staged([{"turn": "60 deg"}])(data)
    procedure = Procedure.model_validate(data)
    assert "a further turn of 60 deg" in describe(procedure)
    assert kind_of(procedure.step("bolts")).limits(procedure.step("bolts")) is None


def test_numbered_fasteners_are_a_range() -> None:
    data = sound_data()
    step_of(data, "bolts")["fasteners"] = "cover bolt three to six"
    step = Procedure.model_validate(data).step("bolts")
    assert isinstance(step, TighteningStep)
    assert step.fasteners == (
        "cover bolt three", "cover bolt four", "cover bolt five", "cover bolt six"
    )  # fmt: skip


@pytest.mark.parametrize("slip", ["bolt one", "bolt six to one", "bolt one to many", "one to six"])
def test_a_range_of_fasteners_that_is_none_is_refused(slip: str) -> None:
    data = sound_data()
    step_of(data, "bolts")["fasteners"] = slip
    with pytest.raises(ValidationError, match=r"Write a list|does not rise"):
        Procedure.model_validate(data)


@pytest.mark.parametrize(
    ("grip", "message"),
    [
        ("70 mm", ""),
        ("300 mm", "even in a joint that does not give"),
        ("10 mm", "far past its yield"),
        ("0 mm", "The grip 0 mm is not a length above zero"),
        ("5 N", "The grip 5 N is not a length above zero"),
    ],
)
def test_a_turn_is_held_against_the_proof_load(tmp_path: Path, grip: str, message: str) -> None:
    bolt = {"thread": "M8", "grade": "10.9", "grip": grip}
    said = told(tmp_path, staged(SOUND, bolt=bolt))
    assert message in said if message else said == ""


def test_a_tolerance_narrower_than_the_wrench_is_queried(tmp_path: Path) -> None:
    # 4 % of 20 lbf*ft is 0.8 lbf*ft
    stages = [{"torque": "10 lbf*ft"}, {"torque": "20 lbf*ft"}]
    said = told(tmp_path, staged(stages, tolerance="0.7 lbf*ft"))
    assert "alone may be off by 0.8 lbf*ft (4 %, ISO 6789-1)" in said

    def certified(data: Data) -> None:
        staged(stages, tolerance="0.7 lbf*ft")(data)
        data["gauges"][1]["uncertainty"] = "0.3 lbf*ft"

    assert "alone may be off" not in told(tmp_path, certified)
    assert "alone may be off" not in told(tmp_path, staged(stages, tolerance="0.8 lbf*ft"))


def locked(**more: Any) -> Any:
    """The change that puts thread locker on the dry threads of the bolts."""

    def change(data: Data) -> None:
        oil = data["consumables"][0]
        oil.update(name="Blue thread locker", open_time="10 min", cure_time="30 min")
        oil.update({k: v for k, v in more.items() if k in ("open_time", "cure_time", "name")})
        for key in [k for k, value in oil.items() if value is None]:
            del oil[key]
        step = step_of(data, "bolts")
        step.update(thread=more.get("thread", "dry"), locker="oil")
        step["cautions"] = ["Thread locker burns eyes. Wear glasses."]
        del step["lubricant"]
        if more.get("thread") == "lubricated":
            step["lubricant"] = "oil"

    return change


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ({}, ""),
        ({"cure_time": None}, "The thread locker 'oil' states no 'cure_time'"),
        ({"cure_time": "2 h"}, "Nothing after this step waits the 2 h"),
        ({"open_time": "5 mm"}, "The open_time 5 mm of 'oil' is not a time above zero"),
        ({"thread": "lubricated"}, "does not cure on an oiled thread"),
        ({"thread": "lubricated"}, "is a thread locker, not a lubricant; name it as 'locker'"),
    ],
)
def test_thread_locker_is_no_lubricant(tmp_path: Path, more: dict[str, Any], message: str) -> None:
    said = told(tmp_path, locked(**more))
    assert message in said if message else said == ""
