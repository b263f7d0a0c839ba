"""Speech cut short counts as not said: nothing moves on before the builder has heard it."""

from __future__ import annotations

import pytest

from assistant.dialogue.effects import Say
from assistant.dialogue.events import SpeechCut, Unsaid
from assistant.dialogue.interrupting import may_cut
from assistant.dialogue.kinds.inspection import Inspected
from assistant.dialogue.kinds.tightening.states import Tightening, TorqueAcknowledge
from tests.dialogue.kit import Bench, procedure
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
    assert isinstance(b.state.awaiting, TorqueAcknowledge)
    b.say("understood")
    assert isinstance(b.state.awaiting, Tightening)


def test_cut_again_while_it_is_said_again_it_still_does_not_count() -> None:
    b = bench()
    for _ in range(3):
        cut(b)
        b.say("understood")
        assert isinstance(b.state.awaiting, TorqueAcknowledge)


def test_a_repeat_heard_to_its_end_counts_as_said() -> None:
    b = bench()
    cut(b)
    b.say("repeat")
    assert b.state.unsaid == ()
    b.say("understood")
    assert isinstance(b.state.awaiting, Tightening)


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
    cut(b)  # and again, while it is said again
    b.say("correction")
    assert "Marta Quill" in b.say("accept")
    assert b.of(Inspected) == []
    b.say("accept")
    assert [f.accepted for f in b.of(Inspected)] == [True]


def test_the_assistants_own_words_interrupt_nothing() -> None:
    b = bench()
    allowed = may_cut(b.context, b.state, ("Say stop work, or torque understood.",)).spec.commands
    assert "stop_work" not in allowed
    assert "repeat" in allowed
    assert "understood" not in may_cut(b.context, b.state, ("Hold.",)).spec.commands
