"""The flange and the engine: sound, fictional, and tightened as the trade does it."""

from __future__ import annotations

import pytest

from assistant.procedure.kinds.caution import CautionStep
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.tightening.stages import order_at
from assistant.procedure.lint import lint_file
from assistant.procedure.models import Procedure
from assistant.quantities.joint import torque_query
from assistant.quantities.threads import thread
from assistant.resources import data_folder
from tests.shipped import shipped

NAMES = ("kb7_pipe_flange", "kb9_standby_engine")


def job(name: str) -> Procedure:
    return shipped(name)


def tightening(name: str, step: str) -> TighteningStep:
    found = job(name).step(step)
    assert isinstance(found, TighteningStep)
    return found


@pytest.mark.uncounted
@pytest.mark.parametrize("name", NAMES)
def test_a_job_has_no_finding_and_says_that_it_is_fiction(name: str) -> None:
    path = data_folder("procedures") / f"{name}.yaml"
    assert lint_file(path) == []
    assert path.read_text(encoding="utf-8").startswith("# FICTION.")
    assert "fictional" in job(name).title
    assert isinstance(job(name).steps[0], CautionStep)


def test_the_flange_goes_crosswise_and_is_checked_round_the_ring() -> None:
    # ASME PCC-1, legacy cross pattern (from memory): passes of 20 to 30, 50 to 70 and 100 %, then
    # round and round at 100 % until no nut turns; after four hours or more, once again
    step = tightening("kb7_pipe_flange", "tighten")
    torques = [float(s.torque.value) for s in step.stages if s.torque is not None]
    assert [t / torques[-1] for t in torques] == [0.3, 0.6, 1]
    assert [int(_NUMBERS[f.split()[1]]) for f in order_at(step, 0)[:8]] == [
        1, 9, 5, 13, 3, 11, 7, 15
    ]  # fmt: skip
    assert order_at(step, 3) == step.fasteners
    again = tightening("kb7_pipe_flange", "tighten_again")
    assert again.stages[0].torque == step.stages[2].torque
    assert again.stages[-1].check is not None


_NUMBERS = {
    word: place
    for place, word in enumerate(
        ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
         "twelve", "thirteen", "fourteen", "fifteen", "sixteen"),
        start=1,
    )
}  # fmt: skip


def test_the_flange_bolts_are_loaded_sensibly() -> None:
    """T = K d F: half of the proof load or more (common practice, no source)."""
    step = tightening("kb7_pipe_flange", "tighten")
    torque = step.stages[2].torque
    assert torque is not None
    assert step.bolt is not None
    asked = torque_query(torque, thread(step.bolt.thread), step.bolt.grade, step.thread)
    assert 0.5 <= asked.share <= 0.7


def test_the_head_bolts_are_turned_twice_after_their_torque() -> None:
    step = tightening("kb9_standby_engine", "head_bolts")
    assert [str(s.torque or s.turn) for s in step.stages] == [
        "30 N*m", "60 N*m", "90 deg", "90 deg"
    ]  # fmt: skip
    # two rows, from the middle outwards (common practice, no source)
    assert order_at(step, 0)[:2] == ("head bolt three", "head bolt eight")
