"""What the board shows for every kind of step, from the state alone."""

from __future__ import annotations

import json
from dataclasses import asdict, replace
from fractions import Fraction

import pytest

from assistant.board.build import build_view
from assistant.board.view import (
    BoardView,
    HeardLine,
    LastHeard,
    Limit,
    Line,
    SayablePhrase,
    Snapshot,
)
from assistant.dialogue.effects import Say
from assistant.dialogue.events import Revised
from assistant.dialogue.facts import DispositionRecorded, StepOpened
from assistant.dialogue.kinds.action import DoingParts, ReadyForClock
from assistant.dialogue.kinds.choice import Choosing
from assistant.dialogue.kinds.identification import Spelled
from assistant.dialogue.kinds.inspection import Inspected, Inspecting
from assistant.dialogue.kinds.log.states import BetweenRows, LogOffered
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingSuperseded
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.kinds.shims.choosing import shim_stack
from assistant.dialogue.kinds.tightening.facts import FastenerReopened, FastenerTightened
from assistant.dialogue.kinds.tightening.states import (
    Loosening,
    PassAsked,
    Tightening,
    TorqueAcknowledge,
)
from assistant.dialogue.kinds.wait import WaitOffered
from assistant.dialogue.owner import all_states
from assistant.dialogue.state import KeptNote, State, Tightened
from assistant.dialogue.states import (
    Acknowledge,
    Blocked,
    ClockAsked,
    ConditionReadback,
    Conditions,
    DialogueState,
    DispositionReason,
    Doing,
    Ended,
    GoingBack,
    Manual,
    ManualReadback,
    Noting,
    OpeningReadback,
    OutOfLimit,
    PhraseReadback,
    PictureOwed,
    Release,
    Review,
    RevisionHeard,
    Skipping,
    Stopping,
    Waiting,
)
from assistant.dialogue.turn import Turn
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.kinds.shims import ShimStep
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.quantities.amount import Amount, Indication, parse_amount
from assistant.quantities.shims import ShimStack
from tests.board.kit import CONTEXT, PROCEDURE, WORDS, at, board, reading
from tests.quantities.kit import exactly

SHIMS = next(s for s in PROCEDURE.steps if isinstance(s, ShimStep))

UNTIL = "2026-01-05T08:20:00+00:00"
FLOAT_IN = {"float": {"": reading("float", "2.6 thou")}}
ALL_DONE = {s.id: "done" for s in PROCEDURE.steps}
FLOAT_OUT = {"float": {"": reading("float", "4.6 thou")}}

EVERY_STATE: list[tuple[str | None, DialogueState, dict[str, object]]] = [
    (None, Manual(), {}),
    (None, ManualReadback("C"), {}),
    (None, Conditions("variant"), {}),
    (None, Conditions("parts"), {}),
    (None, ConditionReadback("variant", "long_shaft"), {}),
    (None, OpeningReadback("C", "long_shaft", "new"), {}),
    ("lock", Acknowledge(0), {}),
    ("oil", Doing(), {}),
    ("hoses", ReadyForClock(), {}),
    ("hoses", DoingParts(1), {}),
    ("hoses", PictureOwed(), {}),
    ("run_in", LogOffered(), {}),
    ("run_in", BetweenRows(), {}),
    ("float", Measuring(0), {}),
    ("pack", Doing(), {"values": FLOAT_IN}),
    ("pack", Doing(), {}),
    ("bolts", Blocked(), {}),
    ("gap", Measuring(0, (Indication("ge", parse_amount("4 thou")),)), {}),
    ("float", DigitCheck(0, exactly("2.6 thou"), "heard", "unsure"), {}),
    ("float", OutOfLimit(0), {"values": FLOAT_OUT}),
    ("float", DispositionReason(0, "rework"), {"values": FLOAT_OUT}),
    ("float", Release(0, "rework", "worn", None), {"values": FLOAT_OUT}),
    ("float", Release(0, "rework", "worn", None, "Marta Quill"), {"values": FLOAT_OUT}),
    ("float", Review(), {"values": FLOAT_IN}),
    ("square", Review(), {"derived": {"square": parse_amount("1.5 thou")}}),
    ("square", OutOfLimit(0), {"derived": {"square": parse_amount("3 thou")}}),
    ("square", Blocked(), {}),
    ("bolts", Loosening(), {"turned": {"bolts": ("bolt one",)}}),
    ("bolts", TorqueAcknowledge(0), {}),
    ("bolts", TorqueAcknowledge(1, 2), {}),
    ("bolts", Tightening(1, 2), {}),
    ("bolts", PassAsked(1, 2), {}),
    ("bolts", Review(), {}),
    ("serial", Spelled(), {}),
    ("serial", Spelled("KB217"), {}),
    ("seal", Choosing(), {}),
    ("seal", Choosing("felt"), {}),
    ("cool", WaitOffered(), {}),
    (None, Waiting(), {"waits": {"cool": UNTIL}}),
    (None, Waiting(), {}),
    ("hold", Inspecting(), {}),
    ("hold", Inspecting("Marta Quill"), {}),
    ("oil", Skipping(Doing()), {}),
    ("oil", GoingBack("lock", Doing()), {}),
    ("gap", PhraseReadback("near side", "near side", Measuring(0)), {}),
    ("oil", Noting(Doing()), {}),
    ("oil", ClockAsked(None, Doing()), {}),
    ("oil", RevisionHeard(Revised(revision="B", sha256="0"), Doing()), {}),
    ("oil", Stopping(Doing()), {}),
    (None, Ended(), {}),
]


def phrases(view: BoardView) -> list[str]:
    """What the board offers to say, in words."""
    return [phrase.text for phrase in view.say]


def said_by_voice(text: str, confidence: float, state: State | None = None) -> HeardLine:
    """``text`` heard at ``confidence`` in ``state``."""
    hypothesis = Hypothesis(tuple(Word(w, confidence) for w in text.split()), confidence)
    recognition = Recognition(engine="ear", hypotheses=(hypothesis,))
    return HeardLine(recognition, state or at("oil", Doing()))


@pytest.mark.parametrize(("step", "moment", "more"), EVERY_STATE)
def test_every_moment_says_what_to_do_and_survives_the_wire(
    step: str | None, moment: DialogueState, more: dict[str, object]
) -> None:
    view = board(at(step, moment, **more))
    assert view.task
    assert bool(view.band) == bool(view.alarm)
    assert json.loads(json.dumps(asdict(view)))["task"] == view.task


def test_what_was_not_taken_says_so_and_why() -> None:
    unsure = board(at("oil", Doing()), said_by_voice("done", 0.35)).heard
    assert unsure == LastHeard("done", 35, "not sure enough, say it again")
    unknown = board(at("oil", Doing()), said_by_voice("mumble", 0.95)).heard
    assert unknown == LastHeard("mumble", 95, "nothing that fits here")


def test_words_are_judged_where_they_were_said_not_where_they_led() -> None:
    """A reason is kept as it was said, although nothing of the sort fits the next state."""
    reason = said_by_voice("mumble", 0.2, at("float", Noting(Measuring(0))))
    shown = board(at("float", Measuring(0)), reason).heard
    assert shown == LastHeard("mumble", 20)


def test_the_rule_is_the_one_the_dialogue_goes_by() -> None:
    """0.6 is enough to stop or ask, and not enough to move the work on."""
    assert board(at("oil", Doing()), said_by_voice("repeat", 0.6)).heard == LastHeard("repeat", 60)
    done = board(at("oil", Doing()), said_by_voice("done", 0.6)).heard
    assert done is not None
    assert done.refused


@pytest.mark.parametrize("command", ["correction", "remeasure", "wrong"])
def test_with_nothing_measured_there_is_nothing_to_take_back(command: str) -> None:
    assert command not in phrases(board(at("gap", Measuring(0))))
    some = at("gap", Measuring(1), values={"gap": {"top": reading("gap", "11 thou")}})
    assert command in phrases(board(some))


def test_correction_is_offered_only_with_something_to_correct() -> None:
    assert "correction" not in phrases(board(at("pack", Doing(), values=FLOAT_IN)))
    assert "missed" not in phrases(board(at("bolts", Tightening(0, 0))))
    assert "correction" in phrases(board(at("float", Review(), values=FLOAT_IN)))
    tried = Measuring(0, (Indication("ge", parse_amount("4 thou")),))
    assert "correction" in phrases(board(at("gap", tried)))
    tight = (Tightened(0, "one", parse_amount("6 lbf*ft")),)
    assert "missed" in phrases(board(at("bolts", Tightening(0, 1), tightened=tight)))
    noted = at("oil", Doing(), kept=KeptNote("oil", None))
    assert "correction" in phrases(board(noted))


def test_all_dispositions_of_a_value_out_of_limits_are_offered() -> None:
    offered = phrases(board(at("float", OutOfLimit(0), values=FLOAT_OUT)))
    assert [p for p in offered if p.startswith("disposition")] == [
        "disposition use as is",
        "disposition rework",
        "disposition replace",
        "disposition refer",
    ]
    assert "remeasure" in offered


def test_blades_are_asked_for_as_blades() -> None:
    assert "a blade that “goes” or “won't go”" in phrases(board(at("gap", Measuring(0))))
    assert "a blade that “goes” or “won't go”" not in phrases(board(at("float", Measuring(0))))


def test_an_action_is_work_whatever_is_done_in_it() -> None:
    head = board(at("oil", Doing())).step
    assert head is not None
    assert head.kind == "work"


def test_the_list_above_holds_every_moment() -> None:
    seen = {type(moment) for _, moment, _ in EVERY_STATE}
    assert seen == set(all_states())


def test_equal_snapshots_give_equal_views() -> None:
    state = at("bolts", Tightening(0, 1))
    assert board(state) == board(replace(state))


def test_a_session_not_yet_begun_can_be_shown() -> None:
    view = board(Snapshot().state)
    assert view.step is None
    assert view.procedure == "Kettlebeck KB-2 board rig"


def test_step_number_total_title_and_what_follows() -> None:
    view = board(at("oil", Doing()))
    assert view.step is not None
    assert (view.step.number, view.step.total, view.step.title) == (2, 15, "Oil the bearing")
    assert view.following == ("End float", "Cap gap")


def test_a_step_that_hangs_on_an_open_answer_is_not_promised() -> None:
    outcomes = {s.id: "done" for s in PROCEDURE.steps if s.id not in ("float", "rework", "cover")}
    view = board(at("float", Measuring(0), outcomes=outcomes))
    assert view.following == ("Tag for rework (if needed)", "Cover the shaft end")
    outcomes["float"] = "done"
    passed = board(at("cover", Doing(), outcomes=outcomes, values=FLOAT_IN))
    assert passed.following == ()
    failed = board(at("hold", Inspecting(), outcomes=outcomes, values=FLOAT_OUT))
    assert failed.following[0] == "Tag for rework"


def test_caution_is_shown_in_full_with_its_count() -> None:
    view = board(at("lock", Acknowledge(1)))
    assert view.alarm == "caution"
    assert view.band == "CAUTION 2 of 2"
    assert [line.text for line in view.lines] == ["Try the shaft by hand."]
    assert phrases(view) == ["understood"]


def test_action_shows_words_orientation_material_and_what_to_expect() -> None:
    view = board(at("oil", Doing()))
    assert [(line.label, line.text) for line in view.lines] == [
        ("", "Oil both rows."),
        ("Orientation", "Large end up."),
        ("Use", "clean gear oil"),
        ("Check", "It turns freely."),
    ]
    assert view.figure is None


def test_measurement_shows_what_is_asked_and_both_limits() -> None:
    view = board(at("float", Measuring(0)))
    assert view.task == "Measure end float"
    assert view.figure is not None
    assert view.figure.awaited
    assert view.figure.text == ""
    assert view.figure.unit == "thou"
    assert view.limits == (Limit("min", "1.5", "thou"), Limit("max", "4", "thou"))
    assert view.say[0] == SayablePhrase("“reading” and the number", verbatim=False)


def test_positions_stand_in_rows_with_verdict_and_the_present_one_marked() -> None:
    values = {"gap": {"top": reading("gap", "11 thou"), "right": reading("gap", "31 thou")}}
    view = board(at("gap", OutOfLimit(1), values=values))
    assert [(r.position, r.text, r.mark, r.current) for r in view.rows] == [
        ("top", "11 thou", "in", False),
        ("right", "31 thou", "out", True),
        ("bottom", "", "", False),
        ("left", "", "", False),
    ]
    assert view.rows[1].verdict == "OUT"
    assert view.limits == (Limit("max", "30", "thou"),)


def test_a_released_value_is_told_from_one_in_limits() -> None:
    values = {"gap": {"top": reading("gap", "31 thou")}}
    view = board(at("gap", Measuring(1), values=values, released={"gap": ("top",)}))
    assert view.rows[0].mark == "released"


def test_an_interval_between_two_blades_is_shown_as_such() -> None:
    between = Indication("between", parse_amount("4 thou"), parse_amount("5 thou"))
    values = {"gap": {"top": reading("gap", "", between)}}
    assert board(at("gap", Measuring(1), values=values)).rows[0].text == "4 to < 5 thou"


def test_out_of_limit_is_in_words_and_keeps_value_and_limits() -> None:
    view = board(at("float", OutOfLimit(0), values=FLOAT_OUT))
    assert (view.alarm, view.band) == ("out", "OUT OF LIMITS")
    assert view.figure is not None
    assert (view.figure.text, view.figure.unit) == ("4.6", "thou")
    assert [limit.text for limit in view.limits] == ["1.5", "4"]


def test_an_interruption_does_not_hide_that_a_value_is_out() -> None:
    state = at("float", Noting(OutOfLimit(0)), values=FLOAT_OUT)
    view = board(state)
    assert (view.alarm, view.task) == ("out", "Say the note now")
    assert view.figure == board(at("float", OutOfLimit(0), values=FLOAT_OUT)).figure


def test_release_holds_until_the_inspector() -> None:
    view = board(at("float", Release(0, "use_as_is", "worn", None), values=FLOAT_OUT))
    assert (view.alarm, view.band) == ("hold", "HOLD for release")
    assert "use as is" in view.task


def test_a_doubted_reading_asks_for_digits() -> None:
    view = board(at("float", DigitCheck(0, exactly("2.6 thou"), "heard", "unsure")))
    assert view.alarm == "doubt"
    assert view.say[0].text == "the digits one by one"


def test_a_doubted_reading_is_shown_in_the_gauges_unit() -> None:
    # 0.0026 in = 2.6 thou by the definition of the thousandth of an inch.
    view = board(at("float", DigitCheck(0, exactly("0.0026 in"), "heard", "other_unit")))
    assert view.figure is not None
    assert (view.figure.text, view.figure.unit) == ("2.6", "thou")


def test_a_computed_value_is_never_shown_as_a_fraction() -> None:
    third = parse_amount("1 thou")
    value = replace(third, value=third.value * 4 / 3, resolution=None)
    view = board(at("square", Review(), derived={"square": value}))
    assert view.figure is not None
    assert view.figure.text == "1.333333"


def test_shims_are_the_ones_that_the_dialogue_chose() -> None:
    """2.6 thou less 1 + 1 leaves 0.6: the least shims that end within 0 to 1 thou."""
    view = board(at("pack", Doing(), values=FLOAT_IN))
    assert view.figure is not None
    stack = shim_stack(Turn(CONTEXT, at("pack", Doing(), values=FLOAT_IN), ""), SHIMS)
    assert isinstance(stack, ShimStack)
    assert view.figure.text.split(" + ") == [s.number() for s in stack.shims]
    total = sum(Fraction(part) for part in view.figure.text.split(" + "))
    assert 0 <= Fraction("2.6") - total <= 1
    assert view.limits == ()  # they are limits of what is left, not of the shims
    assert board(at("pack", Doing())).alarm == "hold"


def test_torque_is_announced_before_the_wrench_turns() -> None:
    view = board(at("bolts", TorqueAcknowledge(0)))
    assert (view.alarm, view.band) == ("caution", "SET THE WRENCH")
    assert view.figure is not None
    # Half of the target of 12 lbf*ft.
    assert (view.figure.text, view.figure.unit) == ("6", "lbf·ft")
    assert [line.text for line in view.lines] == ["lubricated: clean gear oil"]


def test_the_further_turn_is_shown_on_the_last_pass_only() -> None:
    assert "Then turn" not in [x.label for x in board(at("bolts", Tightening(0, 0))).lines]
    assert "Then turn" in [x.label for x in board(at("bolts", Tightening(1, 0))).lines]


def staged(moment: DialogueState) -> BoardView:
    """The board at a moment of a tightening with a turn and a check, of left-hand threads."""
    plain = PROCEDURE.step("bolts")
    assert isinstance(plain, TighteningStep)
    step = TighteningStep.model_validate(
        {**plain.model_dump(exclude={"target", "passes", "angle"}), "left_hand": True,
         "stages": [{"torque": "6 lbf*ft"}, {"turn": "90 deg"}, {"loosen": "180 deg"},
                    {"torque": "12 lbf*ft"}, {"check": "12 lbf*ft", "pattern": "ring"}]}
    )  # fmt: skip
    steps = tuple(step if s.id == "bolts" else s for s in PROCEDURE.steps)
    context = replace(CONTEXT, procedure=PROCEDURE.model_copy(update={"steps": steps}))
    return build_view(context, Snapshot(at("bolts", moment)), WORDS)


def test_a_turn_is_shown_as_an_angle_and_no_torque_beside_it() -> None:
    view = staged(TorqueAcknowledge(1, by_angle=True))
    assert view.figure is not None
    assert (view.band, view.figure.text, view.figure.unit) == ("TURN BY ANGLE", "90", "°")
    assert view.figure.label == "turn, pass 2 of 5"
    assert [line.text for line in view.lines] == ["LEFT-HAND thread"]
    assert staged(TorqueAcknowledge(2, by_angle=True)).band == "LOOSEN"
    assert staged(Tightening(1, 0)).task == "Turn one"
    assert staged(Tightening(2, 0)).task == "Loosen one"


def test_a_check_goes_its_own_way_round_and_says_that_none_may_move() -> None:
    view = staged(Tightening(4, 1))
    assert view.task == "Check two"
    assert "none may move" in [line.text for line in view.lines]
    assert view.fasteners is not None
    assert [f.label for f in view.fasteners.fasteners if f.due] == ["two"]
    assert view.fasteners.caption == "pass 5 of 5"


def passes_done(state: State) -> dict[str, int]:
    """Passes that each fastener has had, by label, as the board shows it."""
    view = board(state)
    assert view.fasteners is not None
    return {f.label: f.passes_done for f in view.fasteners.fasteners}


def test_the_map_fills_in_pattern_order_pass_by_pass() -> None:
    # Opposite fasteners follow each other in a cross pattern of four (common practice, no source).
    assert passes_done(at("bolts", TorqueAcknowledge(0))) == dict.fromkeys(
        ("one", "two", "three", "four"), 0
    )
    filled = {"one": 1, "two": 0, "three": 1, "four": 0}
    assert passes_done(at("bolts", Tightening(0, 2))) == filled
    filled = {"one": 2, "two": 1, "three": 1, "four": 1}
    assert passes_done(at("bolts", Tightening(1, 1))) == filled
    assert set(passes_done(at("bolts", Review())).values()) == {2}


@pytest.mark.parametrize("turn", range(4))
def test_the_circle_that_is_lit_bears_the_number_that_is_spoken(turn: int) -> None:
    """Not its turn in the order: "bolt three" must not light a circle marked 2."""
    view = board(at("bolts", Tightening(0, turn)))
    assert view.fasteners is not None
    drawn = view.fasteners.fasteners
    assert [f.own for f in drawn] == ["1", "2", "3", "4"]
    # The spoken numbers are those of the procedure; crosswise order, common practice, no source.
    spoken = ["one", "three", "two", "four"]
    assert view.task == f"Tighten {spoken[turn]}"
    assert [f.label for f in drawn if f.due] == [spoken[turn]]
    assert [f.label for f in drawn if f.next] == spoken[turn + 1 : turn + 2]


def test_before_the_torque_is_acknowledged_the_first_fastener_is_next() -> None:
    view = board(at("bolts", TorqueAcknowledge(0)))
    assert view.fasteners is not None
    assert [f.label for f in view.fasteners.fasteners if f.next] == ["one"]
    assert view.fasteners.caption == "pass 1 of 2"


def test_fasteners_to_be_loosened_are_lit() -> None:
    view = board(at("bolts", Loosening(), turned={"bolts": ("two", "three")}))
    assert view.fasteners is not None
    assert [f.label for f in view.fasteners.fasteners if f.due] == ["two", "three"]
    assert not any(f.next for f in view.fasteners.fasteners)


def test_a_step_that_is_all_tightened_has_no_next() -> None:
    view = board(at("bolts", Review()))
    assert view.fasteners is not None
    assert not any(f.next or f.due for f in view.fasteners.fasteners)


def test_nothing_is_due_before_the_torque_is_acknowledged() -> None:
    view = board(at("bolts", TorqueAcknowledge(1)))
    assert view.fasteners is not None
    assert not any(f.due for f in view.fasteners.fasteners)


def test_fasteners_lie_on_a_ring_within_the_square() -> None:
    view = board(at("bolts", Tightening(0, 0)))
    assert view.fasteners is not None
    places = {(f.x, f.y) for f in view.fasteners.fasteners}
    assert len(places) == 4
    radii = {round((x - 50) ** 2 + (y - 50) ** 2) for x, y in places}
    assert len(radii) == 1
    assert all(0 < x < 100 and 0 < y < 100 for x, y in places)


def test_identification_choice_and_inspection() -> None:
    assert phrases(board(at("serial", Spelled()))) == ["letters and digits one by one"]
    spelled = board(at("serial", Spelled("KB217"))).figure
    assert spelled is not None
    assert (spelled.label, spelled.text) == ("serial number", "KB217")
    assert phrases(board(at("seal", Choosing()))) == ["lip seal", "felt ring"]
    inspect = board(at("hold", Inspecting()))
    assert inspect.alarm == "hold"
    assert inspect.lines[0] == Line("Accept if", "Bolts marked.")


def test_a_wait_is_offered_and_then_runs_to_an_instant() -> None:
    offered = board(at("cool", WaitOffered()))
    assert offered.figure is not None
    assert (offered.figure.text, offered.figure.unit) == ("10", "min")
    running = board(at(None, Waiting(), waits={"cool": UNTIL}))
    assert [(w.title, w.until) for w in running.waits] == [("Let it cool", UNTIL)]


def test_a_job_that_cannot_go_on_holds() -> None:
    assert board(at(None, Waiting())).alarm == "hold"
    assert board(at(None, Waiting(), waits={"cool": UNTIL})).alarm == ""


def test_paused_listening_and_broken_equipment_are_noticed() -> None:
    paused = board(at("oil", Doing(), listening=False, broken=frozenset({"microphone"})))
    assert (paused.alarm, paused.band) == ("paused", "NOT LISTENING")
    assert paused.task == "Say “resume listening” to go on"
    assert paused.notices == ("microphone not working",)
    assert phrases(paused) == ["resume listening"]


def test_a_pause_does_not_hide_that_a_value_is_out() -> None:
    view = board(at("float", OutOfLimit(0), values=FLOAT_OUT, listening=False))
    assert (view.alarm, view.notices) == ("out", ("NOT LISTENING",))


def test_stopped_and_finished_are_told_apart() -> None:
    assert board(at("oil", Doing(), stopped=True)).alarm == "stopped"
    assert board(at(None, Ended())).alarm == "finished"
    assert board(at("oil", Doing(), stopped=True)).say == ()


def closing(
    outcomes: dict[str, str] | None = None, **more: object
) -> tuple[str, list[tuple[str, str]]]:
    """The figure of the last screen, and its lines; every step done but for ``more``."""
    view = board(at(None, Ended(), outcomes=ALL_DONE | (outcomes or {}), **more))
    assert view.figure is not None
    return view.figure.text, [(line.label, line.text) for line in view.lines]


def test_the_last_screen_counts_the_steps_and_names_what_is_not_as_the_manual_has_it() -> None:
    assert closing() == ("15 of 15", [("", "Nothing skipped, nothing let stand.")])
    figure, lines = closing(
        outcomes={"oil": "skipped", "bolts": "skipped", "rework": "not_applicable"},
        part_way=frozenset({"bolts"}),
        released={"float": ("",), "gap": ("top",)},
        referred={"gap": ("top",)},
    )
    assert figure == "12 of 14"
    assert lines == [
        ("Left part way, not to be relied on", "Cap bolts"),
        ("Skipped", "Oil the bearing"),
        ("Let stand, not in limits", "End float"),
        ("Referred to the maker", "Cap gap"),
    ]


def test_a_hold_point_names_who_may_accept_and_then_who_decides() -> None:
    called = board(at("hold", Inspecting()))
    assert ("May accept", "Marta Quill") in [(x.label, x.text) for x in called.lines]
    decides = board(at("hold", Inspecting("Marta Quill")))
    assert decides.figure is not None
    assert (decides.task, decides.figure.text) == ("Accept or refuse", "Marta Quill")


def test_skipped_steps_and_dispositions_stay_in_sight() -> None:
    state = at("oil", Doing(), outcomes={"lock": "skipped"}, released={"lock": ("",)})
    assert board(state).left_open == "one step not done, one deviation"
    assert board(at("oil", Doing())).left_open == ""


def test_heard_said_and_the_demonstration_are_passed_on() -> None:
    view: BoardView = board(
        at("oil", Doing()),
        said_by_voice("done", 0.93),
        (Say("Oil both rows.", "ask"),),
        demo=True,
    )
    assert view.heard == LastHeard("done", 93)
    assert [(s.text, s.tone) for s in view.said] == [("Oil both rows.", "ask")]
    assert "Do not build" in view.demo
    assert board(at("oil", Doing())).demo == ""


def confirmed() -> ReadingConfirmed:
    """A reading that went into the record."""
    value = reading("float", "2.6 thou")
    step = PROCEDURE.step("float")
    assert isinstance(step, MeasurementStep)
    return ReadingConfirmed(
        step="float",
        position="",
        quantity="end float",
        indication=value.indication,
        limits=step.limits,
        judgement=value.judgement,
        gauge="dial",
        how="readback",
    )


def test_the_last_record_worth_seeing_is_shown() -> None:
    opened = StepOpened(step="gap", title="Cap gap")
    state = at("gap", Measuring(0))
    assert board(state, facts=(confirmed(), opened)).recorded == "end float 2.6 thou, in limits"
    torque: Amount = parse_amount("6.0 lbf*ft")
    done = FastenerTightened(step="bolts", pass_number=1, fastener="three", torque=torque)
    assert board(state, facts=(confirmed(), done)).recorded == "three, 6.0 lbf·ft, pass 1"
    again = FastenerReopened(step="bolts", pass_number=1, fastener="three")
    assert board(state, facts=(done, again)).recorded == "taken back: three"
    void = ReadingSuperseded(step="float", position="", why="reopened")
    assert board(state, facts=(confirmed(), void)).recorded == "taken back: float"
    refused = Inspected(step="hold", person="Marta Quill", accepted=False)
    assert board(state, facts=(refused,)).recorded == "refused by Marta Quill"
    held = DispositionRecorded(step="float", position="", disposition="rework")
    assert board(state, facts=(held,)).recorded == ""


def test_a_blocked_step_says_why() -> None:
    why = "The calibration of the dial ran out on 2026-01-04; use another."
    shown = board(at("bolts", Blocked(why)))
    assert why in [line.text for line in shown.lines]
