"""A few lines of a job by voice: adjusted, measured again, and a place of a grid by both names.

The whole jobs are spoken by ``python -m benchmarks.job_by_voice``.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from assistant.audio.synthesis import say
from assistant.dialogue.events import Heard
from assistant.dialogue.expectation import listening
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.states import OutOfLimit, PhraseReadback, Review
from tests.dialogue.kit import Bench, procedure
from tests.ears import shipped_ear
from tests.speech.recordings import whole

pytestmark = pytest.mark.audio

LAST = {"id": "last", "kind": "action"}
FLOAT: dict[str, Any] = {
    "id": "float", "kind": "measurement", "quantity": "end float", "unit": "thou", "gauge": "dial",
    "lower": "2 thou", "upper": "4 thou", "plausible_low": "0 thou", "plausible_high": "30 thou",
}  # fmt: skip
QUIET = np.random.default_rng(1).normal(0, 3, 4800).astype(np.int16)


def speak(bench: Bench, line: str) -> str:
    """Say a line where ``bench`` is; what is answered to what was heard.

    A value or a name that is asked about is answered, if it was heard right.
    """
    language, spec = bench.context.language, listening(bench.context, bench.state).spec
    engine = shipped_ear()
    engine.listen_for(language.jsgf(spec), language.words(spec))
    recognition = engine.recognise(whole(np.concatenate((QUIET, say(line, "slt"), QUIET))))
    assert recognition.hypotheses[0].text == line
    answer = bench.feed(Heard(at=bench.at(), recognition=recognition, clip="c"))
    match bench.awaiting():
        case DigitCheck(indication=seen):
            return bench.type(language.say_digits(seen.amount.number()))
        case PhraseReadback():
            return bench.say("confirm")
        case _:
            return answer


def test_adjusted_and_measured_again_by_voice() -> None:
    b = Bench(procedure({**FLOAT, "adjust": "Turn the nut a little."}, LAST))
    b.start()
    speak(b, "reading seven point five thou")
    assert b.awaiting() == OutOfLimit(0)
    assert "Adjustment 1" in speak(b, "adjusted")
    assert b.awaiting() == Measuring(0)
    speak(b, "reading three point two thou")
    assert b.awaiting() == Review()


def test_a_place_of_a_grid_is_named_by_voice() -> None:
    grid = {"main": "one to three", "way": ["upright", "across"]}
    b = Bench(procedure({**FLOAT, "grid": grid}, LAST))
    b.start()
    speak(b, "main two across")
    assert b.awaiting() == Measuring(3)
