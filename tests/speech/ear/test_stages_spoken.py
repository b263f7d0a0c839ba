"""A few lines of the flange and of the engine by voice: whole passes, checks, turns, a stretch.

The whole jobs are spoken by ``python -m benchmarks.job_by_voice``.
"""

from __future__ import annotations

import pytest

from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.tightening.states import PassAsked, Tightening, TorqueAcknowledge
from tests.dialogue.kit import Bench
from tests.shipped import shipped
from tests.speech.ear.test_adjusting_spoken import speak

pytestmark = pytest.mark.audio


def at_step(name: str, step_id: str) -> Bench:
    """A session of a job that has this step alone, at its beginning."""
    job = shipped(name)
    step = job.step(step_id).model_copy(update={"after": (), "cautions": ()})
    b = Bench(job.model_copy(update={"steps": (step,)}))
    b.open()
    b.type({"B": "bravo", "D": "delta"}[job.governing.revision])
    b.say("confirm")
    return b


def test_the_flange_by_voice() -> None:
    b = at_step("kb7_pipe_flange", "tighten_again")
    speak(b, "torque understood")
    assert b.awaiting() == Tightening(0, 0)
    speak(b, "whole pass done")
    assert b.awaiting() == PassAsked(0, 0)
    speak(b, "that is right")
    assert b.awaiting() == TorqueAcknowledge(1)
    speak(b, "torque understood")
    speak(b, "it has moved")
    assert b.awaiting() == Tightening(1, 1)
    assert b.state.tightened[-1].moved
    speak(b, "fastener done")
    assert b.awaiting() == Tightening(1, 2)


def test_the_engine_by_voice() -> None:
    b = at_step("kb9_standby_engine", "rod_stretch")
    assert b.awaiting() == Measuring(0)
    speak(b, "reading zero point one three millimeters")
    assert b.awaiting() == Measuring(1)
    speak(b, "reading zero point one one millimeters")
    said = speak(b, "adjusted")
    assert "Turn the bolt on" not in said
    assert b.awaiting() == Measuring(1)
