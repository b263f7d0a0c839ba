"""Speech cut short counts as not said: nothing moves on before the builder has heard it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from assistant.dialogue.effects import ASKED, Say
from assistant.dialogue.events import EquipmentChanged, Resumed, SpeechCut, Unsaid
from assistant.dialogue.interrupting import may_cut
from assistant.dialogue.kinds.inspection import Inspected
from assistant.dialogue.kinds.tightening.states import Tightening, TorqueAcknowledge
from assistant.dialogue.states import Doing
from assistant.quantities.tools import Bench as ToolBench
from tests.dialogue.kit import GAP, HALF, SHIM_SET, SHIMS, Bench, begun, procedure
from tests.dialogue.test_own_wrench import bolts, own, with_bench
from tests.dialogue.test_tightening import bench


def cut(b: Bench, first: int = 0) -> None:
    """The last answer was cut short in its line number ``first``."""
    said = [e for e in b.effects if isinstance(e, Say)]
    lines = tuple(Unsaid(text=s.text, tone=s.tone, about=s.about) for s in said[first:])
    b.feed(SpeechCut(at=b.at(), unsaid=lines))


def test_a_torque_that_was_cut_short_is_said_again_before_the_wrench_turns() -> None:
    b = bench()
    announced = next(e.text for e in b.effects if isinstance(e, Say) and e.tone == "caution")
    cut(b)
    assert announced in b.say("understood")
    assert isinstance(b.awaiting(), TorqueAcknowledge)
    b.say("understood")
    assert isinstance(b.awaiting(), Tightening)


def test_cut_again_while_it_is_said_again_it_still_does_not_count() -> None:
    b = bench()
    for _ in range(3):
        cut(b)
        b.say("understood")
        assert isinstance(b.awaiting(), TorqueAcknowledge)


def test_a_repeat_heard_to_its_end_counts_as_said() -> None:
    b = bench()
    cut(b)
    b.say("repeat")
    assert b.state.unsaid == ()
    b.say("understood")
    assert isinstance(b.awaiting(), Tightening)


def test_work_can_be_stopped_at_once_and_the_lines_are_still_owed() -> None:
    b = bench()
    cut(b)
    b.say("stop_work", "confirm")
    assert b.state.stopped
    assert b.state.unsaid


@pytest.mark.parametrize("first", [0, 1])
def test_a_replayed_session_owes_the_same(first: int) -> None:
    b = bench()
    cut(b, first)
    again = Bench(b.procedure)
    for event in b.events:
        again.feed(type(event).model_validate(event.model_dump(mode="json")))
    assert again.state == b.state


def test_who_decides_is_said_to_the_end_before_it_is_decided() -> None:
    """ "Correction" takes nothing back at a hold point, so it does not make the name heard."""
    b = Bench(
        procedure(
            {"id": "float", "kind": "measurement", "quantity": "end float", "unit": "thou",
             "gauge": "dial", "lower": "2 thou", "upper": "4 thou"},
            {"id": "hold", "kind": "inspection", "criteria": "Bolts marked."},
        )
    )  # fmt: skip
    b.start()
    b.type("reading 3 thou")
    b.say("go_on")
    b.type("inspector mike quebec")
    cut(b)
    b.say("correction")
    assert "Marta Quill" in b.say("accept")
    cut(b)  # and again, while it is repeated
    b.say("correction")
    assert "Marta Quill" in b.say("accept")
    assert b.of(Inspected) == []
    b.say("accept")
    assert [f.accepted for f in b.of(Inspected)] == [True]


def working() -> Bench:
    """An action is being done, and the voice has just failed, which was said as a caution."""
    b = Bench(procedure({"id": "wipe", "kind": "action"}, {"id": "last", "kind": "action"}))
    b.start()
    b.feed(EquipmentChanged(at=b.at(), part="voice", working=False, detail="The voice is gone."))
    return b


@pytest.mark.parametrize("command", ["done", "go_on"])
def test_a_caution_cut_short_during_work_is_said_before_the_work_moves_on(command: str) -> None:
    b = working()
    assert [(e.text, e.tone) for e in b.effects if isinstance(e, Say)] == [
        ("The voice is gone.", "caution")
    ]
    cut(b)
    assert b.say(command) == "The voice is gone."
    assert b.awaiting() == Doing()
    assert b.state.step == "wipe"
    b.say(command)
    assert b.state.step == "last"


def test_a_description_that_the_builder_knows_is_let_go() -> None:
    b = working()
    b.feed(EquipmentChanged(at=b.at(), part="voice", working=True, detail="The voice is back."))
    assert [(e.text, e.tone) for e in b.effects if isinstance(e, Say)] == [
        ("The voice is back.", "plain")
    ]
    b.say("where_am_i")
    line = Unsaid(text="Do it.", tone="plain")
    b.feed(SpeechCut(at=b.at(), unsaid=(line,)))
    b.say("done")
    assert b.state.step == "last"


def test_a_description_beside_a_caution_is_said_again_with_it() -> None:
    b = working()
    lines = (Unsaid(text="Do it."), Unsaid(text="Hold it.", tone="caution"))
    b.state = replace(b.state, last_said=("Do it.",))
    b.feed(SpeechCut(at=b.at(), unsaid=lines))
    assert b.say("done") == "Do it. Hold it."
    assert b.state.step == "wipe"


def test_a_readback_that_was_taken_back_is_not_owed() -> None:
    option = {"id": "seal", "kind": "choice", "options": [
        {"id": "lip", "say": "lip seal"}, {"id": "felt", "say": "felt ring"}]}  # fmt: skip
    b = Bench(procedure(option, {"id": "last", "kind": "action"}))
    b.start()
    b.type("lip seal")
    (readback,) = (e for e in b.effects if isinstance(e, Say) and e.tone == "readback")
    assert readback.about == ASKED
    cut(b)
    assert b.state.unsaid
    b.say("wrong")
    assert b.state.unsaid == ()
    b.type("felt ring")
    cut(b)
    assert "felt ring" in b.say("confirm"), "what stands is owed"
    assert b.state.step == "seal"


def test_the_assistants_own_words_interrupt_nothing() -> None:
    b = bench()
    allowed = may_cut(b.context, b.state, ("Say stop work, or torque understood.",)).spec.commands
    assert "stop_work" not in allowed
    assert "repeat" in allowed
    assert "understood" not in may_cut(b.context, b.state, ("Hold.",)).spec.commands


def test_a_torque_cut_short_is_not_said_any_more_once_another_wrench_was_announced() -> None:
    b, _ = with_bench(own(), bolts())
    cut(b)
    assert "ten point five" in b.feed(Resumed(at=b.at(), bench=own(resolution="0.5 lbf*ft")))
    again = b.say("understood")  # what is still owed comes first, and is of this wrench
    assert "Set ten pound feet" not in again
    cut(b)
    b.say("understood", "understood")
    assert b.awaiting() == Tightening(0, 0)


def test_a_torque_cut_short_while_it_is_repeated_is_owed_as_before() -> None:
    b = bench()
    announced = next(e.text for e in b.effects if isinstance(e, Say) and e.tone == "caution")
    cut(b)
    b.say("repeat")
    assert announced in [e.text for e in b.effects if isinstance(e, Say) and e.tone == "caution"]
    cut(b)
    b.say("louder")
    assert announced in b.say("understood")
    assert isinstance(b.awaiting(), TorqueAcknowledge)


def test_a_name_cut_short_while_it_is_repeated_is_heard_before_it_is_decided() -> None:
    b = begun(GAP, {"id": "hold", "kind": "inspection", "criteria": "Bolts marked."})
    b.type("reading ten thou")
    b.say("go_on")
    b.type("inspector mike quebec")
    cut(b)
    b.say("repeat")
    cut(b)
    b.say("correction", "accept")  # something else takes the place of what was said last
    cut(b)
    b.say("louder")
    assert "Marta Quill" in b.say("accept")
    assert b.of(Inspected) == []


def test_shims_told_before_are_not_told_any_more_once_there_is_another_box() -> None:
    box = {**SHIM_SET, "members": [{"size": "2 thou"}, {"size": "5 thou"}]}
    other = {**box, "members": [{"size": "7 thou"}]}
    b = begun(GAP, SHIMS, tools=ToolBench.model_validate({"tools": [box]}))
    b.type("reading ten thou")
    assert "Fit these shims: five thou, and two thou." in b.say("go_on")
    cut(b)
    tools = ToolBench.model_validate({"tools": [other]})
    assert "Fit these shims: seven thou." in b.feed(Resumed(at=b.at(), bench=tools))
    assert "five thou" not in b.say("done")


def test_what_was_said_of_another_benchs_tools_is_not_owed() -> None:
    b, _ = with_bench(own(id="other", name="short wrench"), bolts())
    said = [e.text for e in b.effects if isinstance(e, Say) and "short wrench would do" in e.text]
    assert said
    cut(b)
    b.feed(Resumed(at=b.at(), bench=own()))
    assert "short wrench" not in b.say("understood")


def test_the_computed_values_of_readings_taken_back_are_not_owed() -> None:
    gaps = {**GAP, "positions": ["top", "bottom"]}
    each = {**HALF, "each": "position", "upper": "6 thou"}
    b = begun(gaps, each)
    b.type("reading ten thou", "reading twenty thou")
    assert "half gap, bottom" in b.say("go_on")
    cut(b)
    b.say("correction")
    assert not any("half gap" in line.text for line in b.state.unsaid)


def test_asking_for_the_torque_does_not_settle_which_fastener_is_done_again() -> None:
    b = bench()
    b.say("understood", "done")
    again = b.say("missed")
    assert "Back to" in again
    cut(b)
    assert "Back to" not in b.say("what_torque")
    assert "Back to" in b.say("done")
