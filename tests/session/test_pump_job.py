"""The drain pump set and run in, word for word: by keyboard, with a resume in mid-log.

Write the transcript again with ``python -m tests.session.test_pump_job`` and read the difference.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta

from assistant.cli.demo import differences, read_script
from assistant.cli.people import people
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.language.hypothesis import typed
from assistant.report.record import build_record
from assistant.session.edges import Sound
from tests.session.kit import (
    MemoryJournal,
    StandInInput,
    demo_context,
    new_session,
    opened,
)
from tests.session.test_golden import GOLDEN, Transcript

NAME = "kb7_tailrace_pump"


@dataclass
class HomewardInput(StandInInput):
    """Stops work in the fourth row of the log, between its two readings."""

    words: list[str] = field(default_factory=lambda: ["stop work", "that is right"])

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        state = self.session.state
        run = state.logs.get("run_in")
        going = run is not None and run.row == 3 and state.awaiting == Measuring(7)
        if self.words and (going or len(self.words) == 1):
            return Sound(typed(self.words.pop(0)))
        return super().hear(expected, patience_s)


def perform() -> tuple[Transcript, MemoryJournal]:
    """The job, stopped in the middle of its log and resumed six minutes later."""
    script = read_script(GOLDEN / f"{NAME}.yaml")
    edges, journal, context = Transcript(), MemoryJournal(), demo_context(NAME)
    session = new_session(journal, edges, context)
    changes = {"people": people(script.builder, script.inspectors), "job": script.job}
    session.open(opened(session).model_copy(update=changes))
    assert session.run(HomewardInput(session, script.answers())) == "stopped"
    later = datetime.fromisoformat(journal.entries[-1].at) + timedelta(minutes=6)
    again = new_session(journal, edges, context, start=later)
    assert again.resume()
    assert again.run(StandInInput(again, script.answers())) == "finished"
    return edges, journal


def test_the_job_is_the_golden_one_and_its_record_what_was_spoken() -> None:
    edges, journal = perform()
    golden = (GOLDEN / f"{NAME}.txt").read_text(encoding="utf-8").splitlines()
    assert edges.lines == golden
    record = build_record(journal.entries)
    script = read_script(GOLDEN / f"{NAME}.yaml")
    assert differences(script, demo_context(NAME).procedure, record) == []
    assert record.logs[0].how == "settled"


if __name__ == "__main__":
    lines = perform()[0].lines
    (GOLDEN / f"{NAME}.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
