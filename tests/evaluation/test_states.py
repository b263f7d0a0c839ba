"""The bench listens for what the dialogue listens for: figures of another grammar tell nothing."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.dialogue.expectation import Expectation
from assistant.evaluation.states import STATES
from assistant.language.spec import ListenSpec
from assistant.session.edges import Sound
from tests.session.kit import SHAFT, Edges, MemoryJournal, StandInInput, new_session, opened

PLACES = {
    ("seal_runout", "Measuring"): "runout",
    ("cap_gap", "Review"): "review",
    ("shims_in", "Doing"): "doing",
    ("cap_torque", "Tightening"): "tightening",
    (None, "OpeningReadback"): "yes_no",
}
"""Step and dialogue state of the demonstration -> the bench's name for it."""


@dataclass
class Noting(StandInInput):
    """Speech input that notes what was listened for, by step and state."""

    specs: dict[tuple[str | None, str], ListenSpec] = field(default_factory=dict)

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        state = self.session.state
        self.specs[state.step, type(state.awaiting).__name__] = expected.spec
        return super().hear(expected, patience_s)


def test_the_bench_listens_for_what_the_dialogue_listens_for() -> None:
    session = new_session(MemoryJournal(), Edges())
    session.open(opened(session))
    source = Noting(session, SHAFT)
    assert session.run(source) == "finished"
    for place, name in PLACES.items():
        real, bench = source.specs[place], STATES[name]
        # naming the way back to an earlier value depends on what was measured before
        assert set(real.commands) - set(bench.commands) <= {"correction"}, name
        assert set(bench.commands) <= set(real.commands), name
        assert (real.reading is None) == (bench.reading is None), name
        assert bool(real.phrases) == bool(bench.phrases), name
