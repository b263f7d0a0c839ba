"""The wrench that is really on the bench: its marks, its unit, and what the fastener gets by it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from assistant.dialogue.events import Resumed, Revised
from assistant.dialogue.facts import Acknowledged, ToolChecked
from assistant.dialogue.kinds.tightening.facts import FastenerTightened, TorqueAnnounced
from assistant.dialogue.kinds.tightening.states import Tightening, TorqueAcknowledge
from assistant.dialogue.states import Blocked, Review
from assistant.quantities.tools import Bench as ToolBench
from tests.dialogue.kit import PEOPLE, Bench, procedure, replay

FINE = {"id": "wrench", "kind": "torque_wrench", "name": "wrench number 3", "unit": "lbf*ft",
        "resolution": "1 lbf*ft", "lower": "2 lbf*ft", "upper": "25 lbf*ft",
        "calibration_due": "2027-01-01"}  # fmt: skip


def own(**more: object) -> ToolBench:
    return ToolBench.model_validate({"tools": [{**FINE, **more}]})


def bolts(**more: object) -> dict[str, object]:
    return {"id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10.5 lbf*ft",
            "fasteners": ["bolt one", "bolt two"], "thread": "dry", **more}  # fmt: skip


def with_bench(tools: ToolBench | None, *steps: Mapping[str, object]) -> tuple[Bench, str]:
    """The session at its first step, and what was said there."""
    b = Bench(procedure(*steps))
    b.open(PEOPLE, tools)
    b.type("charlie")
    return b, b.say("confirm")


def test_the_setting_lies_on_a_mark_of_the_benchs_own_wrench() -> None:
    assert str(with_bench(None, bolts())[0].of(TorqueAnnounced)[0].torque) == "10.5 lbf*ft"
    b, said = with_bench(own(), bolts())
    assert str(b.of(TorqueAnnounced)[0].torque) == "10 lbf*ft"  # halfway between marks: the lower
    assert "wrench number 3" in said
    assert "ten pound feet, one zero" in said
    b.say("understood", "done")
    assert str(b.of(FastenerTightened)[0].torque) == "10 lbf*ft"


def test_the_setting_is_said_in_the_unit_of_the_benchs_own_wrench() -> None:
    metric = own(unit="N*m", resolution="0.5 N*m", lower="5 N*m", upper="50 N*m")
    (announced,) = with_bench(metric, bolts())[0].of(TorqueAnnounced)
    # 10.5 lbf*ft = 14.236 N*m (NIST SP 811: 1 lbf*ft = 1.355818 N*m)
    assert str(announced.torque) == "14 N*m"


def test_a_tolerance_that_no_mark_of_the_own_wrench_keeps_blocks_the_step() -> None:
    b, said = with_bench(own(), bolts(tolerance="0.2 lbf*ft"))
    assert b.of(TorqueAnnounced) == []
    assert b.awaiting() == Blocked()
    assert "finer tool" in said
    for line in ("torque understood", "go on"):  # and again whatever is said
        again = b.type(line)
        assert "finer tool" in again
        assert "Stop work and put that right" in again


def test_what_the_fastener_gets_is_what_the_mark_gives_and_not_the_nominal() -> None:
    adapter = {"length": "300 mm", "extension": "75 mm", "angle": "0 deg"}
    b, _ = with_bench(own(), bolts(adapter=adapter))
    (announced,) = b.of(TorqueAnnounced)
    # AC 43.13-1B figure 7-2: set T L / (L + E) = 10.5 x 300 / 375 = 8.4, the mark is 8,
    # and at that mark the fastener gets 8 x 375 / 300 = 10
    assert (str(announced.torque), str(announced.at_fastener)) == ("8 lbf*ft", "10 lbf*ft")
    dragging, _ = with_bench(own(), bolts(prevailing="2.2 lbf*ft"))
    (announced,) = dragging.of(TorqueAnnounced)
    # 12.7 with the drag, the mark is 13, less the drag 10.8
    assert (str(announced.torque), str(announced.at_fastener)) == ("13 lbf*ft", "10.8 lbf*ft")


def test_a_pass_is_announced_anew_when_the_next_bench_has_another_wrench() -> None:
    b, _ = with_bench(own(), bolts())
    b.say("understood", "done")
    said = b.feed(Resumed(at=b.at(), bench=own(resolution="0.5 lbf*ft")))
    assert "Done in this pass, leave them: bolt one." in said
    assert "ten point five pound feet" in said
    assert b.awaiting() == TorqueAcknowledge(0, 1)
    assert [str(t.torque) for t in b.of(TorqueAnnounced)] == ["10 lbf*ft", "10.5 lbf*ft"]
    b.say("understood", "done")
    assert [str(t.torque) for t in b.of(FastenerTightened)] == ["10 lbf*ft", "10.5 lbf*ft"]
    assert [t.fastener for t in b.of(FastenerTightened)] == ["bolt one", "bolt two"]
    said = " ".join(b.state.last_said)
    # each as its own wrench was set
    assert "tightened to ten pound feet, and ten point five pound feet" in said


def test_a_bench_with_the_very_same_wrench_is_not_announced_anew() -> None:
    b, _ = with_bench(own(), bolts())
    b.say("understood", "done")
    again = b.feed(Resumed(at=b.at(), bench=own()))
    assert len(b.of(TorqueAnnounced)) == 1
    assert "bolt two" in again
    assert b.awaiting() == Tightening(0, 1)


def test_what_was_tightened_is_told_by_the_wrench_that_did_it() -> None:
    b, _ = with_bench(own(), bolts())
    b.say("understood", "done", "done")
    said = b.feed(Resumed(at=b.at(), bench=own(resolution="0.5 lbf*ft")))
    assert "tightened to ten pound feet" in said  # which is what the record holds


def test_a_job_left_after_its_last_bolt_is_taken_up_with_a_wrench_that_cannot_give_the_torque() -> (
    None
):
    b, _ = with_bench(own(), bolts())
    b.say("understood", "done", "done")
    said = b.feed(Resumed(at=b.at(), bench=own(lower="20 lbf*ft")))
    assert "tightened to ten pound feet" in said
    said = b.say("missed")
    assert "Do not use this tool" in said
    assert b.awaiting() == Blocked()
    assert len(b.of(FastenerTightened)) == 2


def test_a_bolt_missed_is_announced_at_the_setting_of_the_wrench_of_another_bench() -> None:
    b, _ = with_bench(own(), bolts())
    b.say("understood", "done", "done")
    b.feed(Resumed(at=b.at(), bench=own(resolution="0.5 lbf*ft")))
    said = b.say("missed")
    assert "Back to bolt two" in said
    assert "ten point five pound feet" in said
    assert b.awaiting() == TorqueAcknowledge(0, 1)
    b.say("understood", "done")
    assert [str(t.torque) for t in b.of(FastenerTightened)[2:]] == ["10.5 lbf*ft"]
    assert isinstance(b.awaiting(), Review)


def test_a_bolt_missed_is_done_alone_with_another_wrench_once_that_is_announced() -> None:
    b, _ = with_bench(own(), bolts())
    b.say("understood", "done", "done")
    b.feed(Resumed(at=b.at(), bench=own(name="wrench number 4")))
    said = b.say("missed")
    assert "on the wrench number 4. The target is" in said
    b.say("understood", "done")
    assert [t.fastener for t in b.of(FastenerTightened)] == ["bolt one", "bolt two", "bolt two"]


def test_a_bolt_missed_is_not_done_with_a_wrench_that_ran_out_of_calibration_meanwhile() -> None:
    b, _ = with_bench(own(), bolts())
    b.say("understood", "done", "done")
    b.feed(Resumed(at=b.at(), bench=own(calibration_due="2025-01-01")))
    said = b.say("missed")
    assert "Do not use this tool" in said
    assert b.awaiting() == Blocked()
    assert len(b.of(TorqueAnnounced)) == 1


def test_a_refused_wrench_is_never_recorded_as_announced() -> None:
    b, _ = with_bench(own(), bolts())
    b.say("understood", "done")
    refused = own(resolution="0.5 lbf*ft", calibration_due="2025-01-01")
    said = b.feed(Resumed(at=b.at(), bench=refused))
    assert "Do not use this tool" in said
    assert "Set " not in said
    assert [str(t.torque) for t in b.of(TorqueAnnounced)] == ["10 lbf*ft"]
    assert "Set " not in b.say("what_torque")


def test_a_blocked_tightening_goes_on_where_it_was_left_when_the_wrench_is_right_again() -> None:
    b, _ = with_bench(own(), bolts(passes=["0.5", "1"]))
    b.say("understood", "done", "done", "understood", "done")
    b.feed(Resumed(at=b.at(), bench=own(calibration_due="2025-01-01")))
    assert b.awaiting() == Blocked()
    b.feed(Resumed(at=b.at(), bench=own()))
    assert b.awaiting() == TorqueAcknowledge(1, 1)
    b.say("understood", "done")
    assert isinstance(b.awaiting(), Review)
    done = [(t.pass_number, t.fastener) for t in b.of(FastenerTightened)]
    assert done == [(p, f) for p in (1, 2) for f in ("bolt one", "bolt two")]


def test_a_revision_to_be_acknowledged_comes_before_the_new_wrench_is_announced() -> None:
    b, _ = with_bench(own(), bolts())
    b.say("understood", "done")
    revised = Revised(revision="B", sha256="1" * 64)
    b.feed(Resumed(at=b.at(), bench=own(resolution="0.5 lbf*ft"), revised=revised))
    assert len(b.of(TorqueAnnounced)) == 1
    assert "Set " not in b.say("what_torque")
    said = b.say("understood")
    assert "Set ten point five pound feet" in said
    assert [str(t.torque) for t in b.of(TorqueAnnounced)] == ["10 lbf*ft", "10.5 lbf*ft"]
    assert b.awaiting() == TorqueAcknowledge(0, 1)


def test_a_wrench_too_coarse_for_a_torque_without_tolerance_blocks_the_step() -> None:
    b, said = with_bench(own(resolution="10 lbf*ft", upper="100 lbf*ft"), bolts(target="6 lbf*ft"))
    assert b.of(TorqueAnnounced) == []
    assert "no mark of the tool lies within" in said
    assert "Set " not in said
    metric = own(unit="N*m", resolution="10 N*m", lower="5 N*m", upper="50 N*m")
    b, said = with_bench(metric, bolts(target="11 lbf*ft"))  # 14.9 N*m, which would be set as 10
    assert b.of(TorqueAnnounced) == []
    assert "use a finer tool" in said


def test_target_and_setting_are_both_said_where_the_mark_is_another() -> None:
    b, said = with_bench(own(), bolts())
    assert "Set ten pound feet, one zero, on the wrench number 3. The target is ten point" in said
    assert "No tolerance is given; plus or minus one point zero five pound feet is taken." in said
    (announced,) = b.of(TorqueAnnounced)
    assert (str(announced.wanted), str(announced.assumed)) == ("10.5 lbf*ft", "1.05 lbf*ft")


def test_a_tolerance_of_the_procedure_is_not_called_assumed() -> None:
    b, said = with_bench(own(), bolts(tolerance="2 lbf*ft"))
    assert "Set ten pound feet, one zero, on the wrench number 3. The target is ten point" in said
    assert "No tolerance is given" not in said
    assert b.of(TorqueAnnounced)[0].assumed is None


def test_a_pass_whose_share_is_no_mark_says_what_it_asks_for() -> None:
    b, said = with_bench(own(), bolts(target="17 lbf*ft", passes=["0.5", "1"]))
    assert "Set eight pound feet, on the wrench number 3, pass 1 of 2. The target of this" in said
    assert "The target of this pass is eight point five pound feet." in said
    b.say("understood", "done", "done")
    said = " ".join(b.state.last_said)
    assert "Set seventeen pound feet" in said
    assert "The target" not in said
    assert [f.wanted and str(f.wanted) for f in b.of(TorqueAnnounced)] == ["8.5 lbf*ft", None]


def test_the_target_is_said_where_drag_or_another_unit_makes_the_setting_another() -> None:
    _, said = with_bench(own(), bolts(target="10 lbf*ft", prevailing="2 lbf*ft"))
    assert (
        "Set twelve pound feet, one two, on the wrench number 3. That is ten plus two for nut"
        in said
    )
    adapter = {"length": "300 mm", "extension": "100 mm", "angle": "0 deg"}
    _, said = with_bench(own(), bolts(target="12 lbf*ft", adapter=adapter))
    assert "Set nine pound feet" in said
    assert "that is twelve pound feet at the fastener" in said
    assert "The target" not in said  # it was just said
    metric = own(unit="N*m", resolution="0.5 N*m", lower="5 N*m", upper="50 N*m")
    _, said = with_bench(metric, bolts(tolerance="1 lbf*ft"))
    assert "Set fourteen newton meters, one four, on the wrench number 3. The target is ten" in said


def test_what_is_recorded_as_understood_is_what_was_announced() -> None:
    b, _ = with_bench(own(), bolts(target="10 lbf*ft"))
    b.say("understood")
    (acknowledged,) = b.of(Acknowledged)
    assert acknowledged.what == (
        "Set ten pound feet, one zero, on the wrench number 3. Threads dry."
    )


def test_another_wrench_of_the_bench_is_announced_with_its_own_marks() -> None:
    other = own(id="metric_wrench", name="Metric wrench", unit="N*m", resolution="0.5 N*m",
                lower="5 N*m", upper="50 N*m")  # fmt: skip
    b, said = with_bench(other, bolts())
    assert "The small torque wrench called for is not on the bench. Metric wrench would do." in said
    # 10.5 lbf*ft = 14.236 N*m (NIST SP 811: 1 lbf*ft = 1.355818 N*m)
    assert "Set fourteen newton meters, one four, on the Metric wrench. The target is ten" in said
    (checked,) = b.of(ToolChecked)
    assert (checked.tool, checked.instead_of) == ("metric_wrench", "wrench")
    b.say("understood", "done")
    assert [str(t.torque) for t in b.of(FastenerTightened)] == ["14 N*m"]
    said = b.feed(Resumed(at=b.at(), bench=own()))  # the one called for is back
    assert "on the wrench number 3." in said
    assert b.awaiting() == TorqueAcknowledge(0, 1)
    assert replay(b.context, b.events) == b.state


def test_another_wrench_that_has_no_mark_for_the_torque_is_not_taken() -> None:
    coarse = {**FINE, "id": "a_wrench", "name": "coarse wrench", "resolution": "4 lbf*ft"}
    finer = {**FINE, "id": "b_wrench", "name": "finer wrench", "upper": "30 lbf*ft"}
    tools = ToolBench.model_validate({"tools": [coarse, finer]})
    _, said = with_bench(tools, bolts())
    assert "on the finer wrench." in said
    only = ToolBench.model_validate({"tools": [coarse]})
    b, said = with_bench(only, bolts())
    assert "called for is not on the bench. No tolerance is given, and no mark" in said
    assert b.of(ToolChecked) == []


CROWFOOT = {"length": "300 mm", "extension": "75 mm", "angle": "0 deg"}
OTHER = {"id": "other", "name": "short wrench"}


def test_with_a_crowfoot_the_length_of_the_wrench_that_is_really_in_hand_counts() -> None:
    b, said = with_bench(own(length="150 mm", resolution="0.1 lbf*ft"), bolts(adapter=CROWFOOT))
    (announced,) = b.of(TorqueAnnounced)
    # AC 43.13-1B figure 7-2: set T L / (L + E) = 10.5 x 150 / 225 = 7; by the procedure's
    # wrench of 300 mm it would be 8.4, which gives the fastener 12.6
    assert (str(announced.torque), str(announced.at_fastener)) == ("7 lbf*ft", "10.5 lbf*ft")
    assert str(announced.length) == "150 mm"
    assert "held one hundred and fifty millimeters from the square" in said


def test_with_a_crowfoot_the_builder_hears_which_length_was_reckoned_with() -> None:
    b, said = with_bench(own(), bolts(adapter=CROWFOOT))
    assert "held three hundred millimeters from the square" in said
    (announced,) = b.of(TorqueAnnounced)
    assert str(announced.length) == "300 mm"
    # square to the wrench no length changes anything
    b, said = with_bench(own(), bolts(adapter={**CROWFOOT, "angle": "90 deg"}))
    (announced,) = b.of(TorqueAnnounced)
    assert announced.length is None
    assert "from the square" not in said


def test_where_the_hand_has_to_be_elsewhere_the_same_mark_is_announced_again() -> None:
    b, _ = with_bench(own(length="300 mm"), bolts(adapter=CROWFOOT))
    b.say("understood", "done")
    b.feed(Resumed(at=b.at(), bench=own(length="301 mm")))
    assert b.awaiting() == TorqueAcknowledge(0, 1)
    assert [(str(a.torque), str(a.length)) for a in b.of(TorqueAnnounced)] == [
        ("8 lbf*ft", "300 mm"),
        ("8 lbf*ft", "301 mm"),
    ]
    assert replay(b.context, b.events) == b.state


def test_another_wrench_of_unknown_length_sets_no_torque_through_a_crowfoot() -> None:
    b, said = with_bench(own(**OTHER), bolts(adapter=CROWFOOT))
    assert "depends on the length of the short wrench, which is not known" in said
    assert "on the short wrench" not in said
    assert b.state.in_hand == {}
    # square to the wrench, or with its length known, it does
    b, _ = with_bench(own(**OTHER), bolts(adapter={**CROWFOOT, "angle": "90 deg"}))
    assert [str(t.torque) for t in b.of(TorqueAnnounced)] == ["10 lbf*ft"]
    b, _ = with_bench(own(**OTHER, length="150 mm"), bolts(adapter=CROWFOOT))
    assert [str(t.torque) for t in b.of(TorqueAnnounced)] == ["7 lbf*ft"]


def test_a_wrench_whose_length_is_known_is_picked_before_one_that_cannot_be_reckoned_with() -> None:
    tools = ToolBench.model_validate(
        {"tools": [{**FINE, **OTHER, "upper": "20 lbf*ft"},
                   {**FINE, "id": "long", "name": "long wrench", "length": "300 mm"}]}
    )  # fmt: skip
    b, said = with_bench(tools, bolts(adapter=CROWFOOT))
    assert "long wrench" in said
    assert [str(t.torque) for t in b.of(TorqueAnnounced)] == ["8 lbf*ft"]


def test_a_session_from_before_reckons_with_the_length_that_it_did() -> None:
    tools = own(length="150 mm", resolution="0.1 lbf*ft")
    b = Bench(procedure(bolts(adapter=CROWFOOT)))
    b.open(PEOPLE, tools)
    b.state = replace(b.state, edition=2)
    b.type("charlie")
    b.say("confirm")
    assert [str(t.torque) for t in b.of(TorqueAnnounced)] == ["8.4 lbf*ft"]
