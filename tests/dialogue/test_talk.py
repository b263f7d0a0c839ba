"""How much is said: short by default, everything on the screen, by the builder's word."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from assistant.dialogue.effects import Chime, Say
from assistant.dialogue.facts import TalkChanged
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.tightening.facts import FastenerTightened
from assistant.dialogue.kinds.tightening.states import TorqueAcknowledge
from assistant.dialogue.states import OutOfLimit, Review
from assistant.dialogue.talk import Talk
from tests.dialogue.kit import LAST, Bench, procedure

A = {"id": "first", "kind": "action", "say": "Wipe the bore.", "cautions": ["Sharp edge."]}
FLOAT = {
    "id": "float", "kind": "measurement", "quantity": "end float", "unit": "thou",
    "gauge": "dial", "lower": "1 thou", "upper": "5 thou",
}  # fmt: skip
RING = {**FLOAT, "id": "ring", "positions": ["top", "bottom"], "upper": "30 thou"}
HALF = {
    "id": "half", "kind": "derived", "quantity": "half float", "unit": "thou",
    "formula": "f / 2", "inputs": {"f": "float"}, "upper": "2 thou",
}  # fmt: skip
BOLTS = {
    "id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10 lbf*ft",
    "tolerance": "1 lbf*ft", "fasteners": ["bolt one", "bolt two"], "thread": "dry",
    "passes": ["0.5", "1"],
}  # fmt: skip


def started(*steps: Mapping[str, object], talk: Talk | None = "usual") -> Bench:
    b = Bench(procedure(*steps, LAST), talk=talk)
    b.start()
    return b


def shown(b: Bench) -> str:
    """What stands on the screen after the last word."""
    return " ".join(e.whole for e in b.effects if isinstance(e, Say))


def test_a_reading_well_in_limits_is_its_value_and_verdict() -> None:
    b = started(FLOAT)
    assert b.type("reading 3 thou") == "three thou in limits. Say go on, or correction."
    # 2 thou inside 1 to 5 thou, by a dial that is good for 0.2 thou
    assert "In limits. By two thou; the gauge is good for point two thou." in shown(b)
    assert "By two thou" in b.say("repeat")
    assert b.of(ReadingConfirmed) == []  # as ever: it counts when the builder goes on
    b.say("go_on")
    assert len(b.of(ReadingConfirmed)) == 1


@pytest.mark.parametrize(("value", "spare"), [("1.9", "point nine"), ("4.2", "point eight")])
def test_what_is_to_spare_is_said_where_it_is_under_a_quarter_of_the_tolerance(
    value: str, spare: str
) -> None:
    # the tolerance is 4 thou, a quarter of it one thou
    assert f"in limits, {spare} to spare." in started(FLOAT).type(f"reading {value} thou")
    assert "to spare" not in started(FLOAT).type("reading 2 thou")


def test_near_the_uncertainty_of_the_gauge_the_spare_and_the_chance_are_said() -> None:
    wide = {**FLOAT, "upper": "100 thou"}
    # a quarter of 99 thou is far more than twice 0.2 thou; here it is 0.1 thou to the limit
    said = started(wide).type("reading 1.1 thou")
    assert "in limits, point one to spare. 84 percent sure." in said


def test_a_value_on_its_limit_is_said_to_be_there() -> None:
    said = started(FLOAT).type("reading 1 thou")
    assert "one thou in limits, right on the limit. 50 percent sure." in said


def test_a_small_distance_to_a_limit_is_said_in_a_finer_unit() -> None:
    bore = {**FLOAT, "unit": "mm", "gauge": "mic", "lower": "60 mm", "upper": "60.1 mm"}
    assert "millimeters in limits, ten microns to spare." in started(bore).type("reading 60.01 mm")
    assert "millimeters in limits, point two to spare." in started({**bore, "upper": "61 mm"}).type(
        "reading 60.2 mm"
    )  # a quarter of the tolerance is 0.25 mm


@pytest.mark.parametrize("talk", ["new", "usual", "brief"])
def test_what_does_not_pass_is_said_whole_at_any_length(talk: Talk) -> None:
    b = started(FLOAT, talk=talk)
    said = b.type("reading 5.4 thou")
    assert "five point four thou. Out of limits. By point four thou" in said
    assert "The limits are one thou to five thou." in said
    assert "Say take it again, or decide: use as is" in said
    assert b.awaiting() == OutOfLimit(0)


@pytest.mark.parametrize("talk", ["new", "usual", "brief"])
def test_cautions_and_torques_are_said_whole_at_any_length(talk: Talk) -> None:
    b = started(A, BOLTS, talk=talk)
    assert "Caution. Sharp edge." in " ".join(e.text for e in b.effects if isinstance(e, Say))
    b.say("understood")
    assert "Set the wrench to five pound feet, pass 1 of 2. Threads dry." in b.say("done")
    said = b.say("understood", "done", "done")
    assert "Set the wrench to ten pound feet, one zero, pass 2 of 2. Threads dry." in said


def test_a_question_is_said_three_times_then_it_chimes_and_stands_on_the_screen() -> None:
    steps = [{"id": f"s{n}", "kind": "action", "say": "Turn it."} for n in range(5)]
    b = started(*steps)
    said = [" ".join(b.state.last_said), *(b.say("done") for _ in range(4))]
    assert ["Say step done." in s for s in said] == [True, True, True, False, False]
    assert b.effects[-1] == Chime("ready")
    assert "Say step done." in shown(b)
    assert "Say step done." in b.say("repeat")


def test_a_new_builder_hears_everything_every_time() -> None:
    steps = [{"id": f"s{n}", "kind": "action", "say": "Turn it."} for n in range(5)]
    b = started(*steps, talk="new")
    for number in range(2, 6):
        said = b.say("done")
        assert f"Step {number} of 6." in said
        assert "Say step done." in said


def test_a_computed_value_in_limits_goes_on_by_itself_and_can_still_be_asked_for() -> None:
    b = started(FLOAT, HALF)
    b.type("reading 3 thou")
    said = b.say("go_on")
    assert "half float one point five thou in limits." in said
    assert [v.step for v in b.of(ValueDerived)] == ["half"]
    assert b.state.step == "last"
    assert "one point five" in b.say("digits")


def test_a_computed_value_out_of_limits_holds_as_ever() -> None:
    b = started(FLOAT, HALF)
    b.type("reading 4.6 thou")
    assert "Out of limits." in b.say("go_on")
    assert b.awaiting() == OutOfLimit(0)


def test_sessions_from_before_the_choice_await_a_word_after_a_computed_value() -> None:
    b = started(FLOAT, HALF, talk=None)
    b.type("reading 3 thou")
    b.say("go_on")
    assert b.awaiting() == Review()


def test_positions_take_one_utterance_each_and_one_to_go_on() -> None:
    b = started(RING)
    assert b.type("reading 10 thou") == "top ten thou in limits. bottom."
    b.type("reading 11 thou")
    b.say("go_on")
    assert b.state.step == "last"
    assert len(b.of(ReadingConfirmed)) == 2


def test_the_length_is_chosen_by_voice_and_recorded() -> None:
    b = started(FLOAT)
    b.say("fewer_words")
    brief = b.state
    assert brief.talk == "brief"
    assert b.say("fewer_words") == "That is the limit."
    b.say("more_words", "more_words")
    assert b.state.talk == "new"
    assert [f.talk for f in b.of(TalkChanged)] == ["brief", "usual", "new"]
    assert "By two thou" in b.type("reading 3 thou")


def test_after_a_last_pass_that_was_named_and_confirmed_nothing_is_asked_again() -> None:
    b = started({**BOLTS, "whole_pass": True})
    b.say("understood", "done")
    assert "Done: bolt two." in b.say("pass_done")
    b.say("confirm")
    assert b.awaiting() == TorqueAcknowledge(1, 0)
    b.say("understood", "pass_done")
    b.say("confirm")
    assert "Both tightened to ten pound feet." in shown(b)
    assert b.state.step == "last"
    done = [(f.pass_number, f.fastener, f.together) for f in b.of(FastenerTightened)]
    assert done == [(1, "bolt one", False), (1, "bolt two", True),
                    (2, "bolt one", True), (2, "bolt two", True)]  # fmt: skip


def test_the_hint_of_a_whole_pass_is_not_said_again_once_it_was_used() -> None:
    b = started({**BOLTS, "whole_pass": True})
    b.say("understood", "pass_done")
    said = b.say("confirm")
    assert b.awaiting() == TorqueAcknowledge(1, 0)
    assert "whole pass done" not in said
    assert "whole pass done" in shown(b)


def test_a_number_has_the_form_of_its_count() -> None:
    prompt = started(FLOAT).context.language.prompt
    assert prompt("wait_left", title="Cure", count=1) == "Cure, one minute left."
    assert prompt("wait_left", title="Cure", count=9) == "Cure, 9 minutes left."
    assert prompt("finished_deviations", count=1) == "One deviation."
    assert prompt("finished_deviations", count=0) == "No deviations."


def test_the_steps_are_counted_without_those_that_are_left_out() -> None:
    seal = {"id": "seal", "kind": "choice", "say": "Lip or felt?",
            "options": [{"id": "lip", "say": "lip"}, {"id": "felt", "say": "felt"}]}  # fmt: skip
    lip = {"id": "lip", "kind": "action", "when": {"choice": {"seal": "lip"}}}
    felt = {"id": "felt", "kind": "action", "when": {"choice": {"seal": "felt"}}}
    b = started(seal, felt, lip, talk="new")
    b.type("lip")
    assert "Step 2 of 3. lip." in b.say("confirm")
    assert "Step 3 of 3. last." in b.say("done")


DIAL = {**FLOAT, "id": "lift"}
FELT = {**FLOAT, "id": "gap", "gauge": "feelers"}


def test_the_least_names_a_gauge_only_where_it_is_another() -> None:
    b = Bench(procedure(FLOAT, DIAL, FELT, LAST), talk="brief")
    assert "dial indicator." in b.start()
    b.type("reading 3 thou")
    assert "dial indicator" not in b.say("go_on")
    b.type("reading 3 thou")
    assert "feeler set." in b.say("go_on")
