"""A few lines of the pump by voice: a foot shimmed, a negative sag, and the rows of the run-in.

The whole jobs are spoken by ``python -m benchmarks.job_by_voice``.
"""

from __future__ import annotations

import pytest

from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.states import OutOfLimit, Review
from tests.speech.ear.test_adjusting_spoken import speak
from tests.speech.ear.test_stages_spoken import at_step

pytestmark = pytest.mark.audio
NAME = "kb7_tailrace_pump"


def test_a_foot_is_shimmed_by_voice() -> None:
    b = at_step(NAME, "soft_foot")
    speak(b, "reading zero point zero eight millimeters")
    assert b.awaiting() == OutOfLimit(0)
    speak(b, "adjusted")
    assert b.awaiting() == Measuring(0)
    speak(b, "reading zero point zero one five millimeters")
    assert b.awaiting() == Measuring(1)
    assert str(b.state.values["soft_foot"]["front left"].indication) == "0.015 mm"


def test_a_sag_below_zero_by_voice() -> None:
    b = at_step(NAME, "bar_sag")
    speak(b, "reading minus zero point zero six millimeters")
    assert b.awaiting() == Review()
    assert str(b.state.values["bar_sag"][""].indication) == "-0.06 mm"


def test_a_row_of_the_run_in_by_voice() -> None:
    b = at_step(NAME, "run_in")
    speak(b, "go on")
    for place, line in enumerate(("twenty one point four", "twenty one")):
        assert b.awaiting() == Measuring(place)
        speak(b, f"reading {line} degrees celsius")
    said = [str(value.indication) for value in b.state.values["run_in"].values()]
    assert said == ["21.4 degC", "21 degC"]
