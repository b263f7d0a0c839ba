"""A word heard faintly stops and asks; what is recorded it never takes back."""

from __future__ import annotations

import pytest

from assistant.dialogue.facts import DispositionDropped, NoteTakenBack, StepReopened
from assistant.dialogue.kinds.measurement.facts import ReadingSuperseded
from assistant.dialogue.kinds.tightening.facts import FastenerReopened
from tests.dialogue.kit import Bench, procedure

FLOAT = {"id": "float", "kind": "measurement", "quantity": "end float", "unit": "thou",
         "gauge": "dial", "lower": "2 thou", "upper": "4 thou"}  # fmt: skip
TWICE = {"id": "twice", "kind": "derived", "quantity": "whole float", "unit": "thou",
         "formula": "one * 2", "inputs": {"one": "float"}, "upper": "5 thou"}  # fmt: skip
NUTS = {"id": "nuts", "kind": "tightening", "tool": "wrench", "target": "8 lbf*ft",
        "tolerance": "1 lbf*ft", "fasteners": ["nut one", "nut two"], "thread": "dry"}  # fmt: skip


def computed() -> Bench:
    """A computed value is out of limits: "correction" goes back to the reading it comes from."""
    b = Bench(procedure(FLOAT, TWICE))
    b.start()
    b.type("reading 3 thou")
    b.say("go_on")
    return b


def tightened() -> Bench:
    b = Bench(procedure(NUTS))
    b.start()
    b.say("understood", "done")
    return b


def noted() -> Bench:
    b = Bench(procedure(FLOAT))
    b.start()
    b.say("take_note")
    b.type("burr on the edge")
    return b


def decided() -> Bench:
    b = Bench(procedure(FLOAT))
    b.start()
    b.type("reading 5 thou")
    b.say("disposition_use_as_is")
    b.type("within wear allowance")
    return b


@pytest.mark.parametrize(
    ("bench", "taken_back"),
    [
        (computed, StepReopened),
        (tightened, FastenerReopened),
        (noted, NoteTakenBack),
        (decided, DispositionDropped),
    ],
)
def test_a_faint_correction_takes_back_nothing_that_is_recorded(
    bench: object, taken_back: type
) -> None:
    assert callable(bench)
    b: Bench = bench()
    before, facts = b.state, list(b.facts)
    word = b.context.language.phrase_for("correction")
    assert b.hear(word, 0.69) == ""
    assert (b.state, b.facts) == (before, facts)
    b.hear(word, 0.7)
    assert b.of(taken_back)


def test_a_faint_correction_has_a_reading_said_again() -> None:
    b = Bench(procedure(FLOAT))
    b.start()
    b.type("reading 3 thou")
    b.hear(b.context.language.phrase_for("correction"), 0.55)
    assert b.of(ReadingSuperseded)
