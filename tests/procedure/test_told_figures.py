"""A torque or a turn in a step's sentences is spoken unannounced, so `check` refuses it."""

from __future__ import annotations

import copy
from pathlib import Path

import pytest

from tests.procedure.kit import Change, Data, both, on, spoiled

BOLTS = "bolts"  # target 12 lbf*ft


def errors(tmp_path: Path, change: Change) -> list[str]:
    return [f.message for f in spoiled(tmp_path, change) if f.level == "error"]


@pytest.mark.uncounted
@pytest.mark.parametrize(
    "words",
    ["Tighten the bolts to fifty newton metres.", "Tighten the bolts to 50 N*m.",
     "Tighten to 11.9 lbf*ft.", "Tighten the bolts to 16 Nm.", "Tighten to 12 lbf·in.",
     "Tighten to 2 kgf·m.", "Tighten to ５０ N·m.", "Tighten to 4,5 Nm.", "Tighten to 5 daN·m.",
     "Tighten to 12, no, thirteen foot pounds."],
)  # fmt: skip
@pytest.mark.parametrize("key", ["say", "title", "cautions"])
def test_another_torque_than_the_target_is_an_error(tmp_path: Path, words: str, key: str) -> None:
    told = errors(tmp_path, on(BOLTS, **{key: [words] if key == "cautions" else words}))
    assert any("but the target is 12 lbf*ft" in message for message in told), told


@pytest.mark.parametrize(
    "words",
    ["Tighten the bolts to twelve foot pounds.", "Tighten to 12 lbf*ft.", "Tighten to 144 in-lb."],
)
def test_the_target_itself_may_be_told(tmp_path: Path, words: str) -> None:
    assert errors(tmp_path, on(BOLTS, say=words)) == []


def test_another_angle_than_the_steps_own_is_an_error(tmp_path: Path) -> None:
    say = "Tighten the bolts, then turn each by {}."
    turned = on(BOLTS, angle="60 deg", say=say.format("ninety degrees"))
    assert any("but the angle is 60 deg" in m for m in errors(tmp_path, turned))
    assert errors(tmp_path, on(BOLTS, angle="60 deg", say=say.format("sixty degrees"))) == []
    assert any(
        "has no 'angle'" in m for m in errors(tmp_path, on(BOLTS, say=say.format("60 degrees")))
    )


def test_the_angle_of_the_adapter_may_be_told(tmp_path: Path) -> None:
    square = {"length": "300 mm", "extension": "40 mm", "angle": "90 deg"}
    words = "Fit the crowfoot at ninety degrees to the wrench, and tighten the bolts."
    assert errors(tmp_path, on(BOLTS, adapter=square, say=words)) == []


@pytest.mark.uncounted
@pytest.mark.parametrize("key", ["say", "orientation", "expect", "cautions", "title"])
@pytest.mark.parametrize(
    "words",
    ["Retighten to 45 N*m, then turn 60 degrees.", "Tighten the cap by another ninety degrees.",
     "Turn each bolt sixty degrees.", "Nip up the nuts. Then a further 90 degrees.",
     "The nut is at forty newton metres now.", "Tighten each nut a quarter turn.",
     "Turn the bolts another two flats."],
)  # fmt: skip
def test_no_action_tells_of_a_torque_or_a_turn_of_a_fastener(
    tmp_path: Path, words: str, key: str
) -> None:
    told = errors(tmp_path, on("tidy", **{key: [words] if key == "cautions" else words}))
    assert any("not announced and acknowledged here" in message for message in told), told


@pytest.mark.parametrize(
    "words",
    ["The arrow points up, at 45 degrees to the flange.", "Turn the shaft ninety degrees.",
     "Warm the hub to eighty degrees Celsius.", "The bolt heads face up, the notch at 30 degrees.",
     "Turn the shaft another quarter, ninety degrees, and look again.",
     "Loosen the screws by half a turn.", "Turn the shaft a quarter turn. Look at the bolt holes."],
)  # fmt: skip
def test_an_angle_that_tightens_nothing_is_let_be(tmp_path: Path, words: str) -> None:
    assert errors(tmp_path, on("tidy", orientation=words)) == []


def test_a_measured_torque_may_be_told_but_not_tightened_to(tmp_path: Path) -> None:
    def measured(words: str) -> Change:
        def change(data: Data) -> None:
            drag = {"id": "drag", "kind": "torque_wrench", "name": "Drag wrench", "unit": "N*m"}
            pull = {"id": "pull", "kind": "measurement", "title": "Turning torque", "unit": "N*m"}
            data["gauges"].append({**drag, "resolution": "0.1 N*m"})
            more = {"say": words, "quantity": "torque", "gauge": "drag", "upper": "3 N*m"}
            data["steps"].insert(-1, {**pull, **more})

        return change

    assert errors(tmp_path, measured("It takes about two newton metres to turn the shaft.")) == []
    told = errors(tmp_path, measured("Tighten to 9 N*m, then turn the shaft."))
    assert any("a torque to tighten to" in message for message in told)


def test_an_inspector_is_told_of_no_torque_that_no_step_gives(tmp_path: Path) -> None:
    assert errors(tmp_path, on("hold", criteria="All marked at 12 lbf*ft.")) == []
    told = errors(tmp_path, on("hold", criteria="All marked at 14 lbf*ft."))
    assert any("which no tightening step of this procedure gives" in m for m in told)


def test_the_line_of_the_figure_is_named(tmp_path: Path) -> None:
    change = on("tidy", cautions=["Mind the edge.", "Retighten to 45 N*m."])
    (found,) = (f for f in spoiled(tmp_path, change) if f.level == "error")
    assert "45 N*m" in (tmp_path / "spoiled.yaml").read_text().splitlines()[found.line - 1]


def another(target: str = "12 lbf*ft", **fields: object) -> Change:
    """A second step over the same fasteners, after the first."""

    def change(data: Data) -> None:
        place = next(i for i, s in enumerate(data["steps"]) if s["id"] == BOLTS)
        again = dict(
            copy.deepcopy(data["steps"][place]), id="again", passes=["1"], target=target, **fields
        )
        data["steps"].insert(place + 1, again)

    return change


@pytest.mark.parametrize("target", ["12 lbf*ft", "11 lbf*ft"])
def test_a_stage_that_only_turns_on_is_refused(tmp_path: Path, target: str) -> None:
    told = errors(tmp_path, another(target, angle="90 deg"))
    assert any("announced here would mean nothing" in message for message in told)


def test_a_second_turn_by_angle_is_refused_whatever_its_torque(tmp_path: Path) -> None:
    change = both(on(BOLTS, angle="60 deg"), another("20 lbf*ft", angle="90 deg"))
    assert any("and turned by angle in step 'bolts'" in m for m in errors(tmp_path, change))


def test_a_stage_with_a_higher_torque_of_its_own_is_sound(tmp_path: Path) -> None:
    assert errors(tmp_path, another("20 lbf*ft", angle="90 deg")) == []


def test_bolts_of_the_same_names_in_another_joint_are_asked_about_only(tmp_path: Path) -> None:
    def change(data: Data) -> None:
        another(angle="90 deg")(data)
        place = next(i for i, s in enumerate(data["steps"]) if s["id"] == "again")
        fit = {"id": "fit", "kind": "action", "title": "Rear cap", "say": "Fit the rear cap."}
        data["steps"].insert(place, fit)

    assert errors(tmp_path, change) == []
    assert any("If they are the same:" in f.message for f in spoiled(tmp_path, change))


def test_a_text_that_tells_of_the_turn_alone_does_not_mean_its_torque(tmp_path: Path) -> None:
    alone = on(BOLTS, angle="90 deg", say="Turn each bolt another ninety degrees.")
    assert any("tells of a turn alone" in message for message in errors(tmp_path, alone))
    both_told = on(BOLTS, angle="90 deg", say="Tighten each bolt, then turn it ninety degrees.")
    assert errors(tmp_path, both_told) == []
