"""A torque or caution that the builder cut short, and its repeat, stand in the record."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from assistant.dialogue.effects import Say
from assistant.dialogue.expectation import Expectation
from assistant.journal.types import Draft, Entry
from assistant.language.hypothesis import typed
from assistant.report.html import to_html
from assistant.report.record import build_record
from assistant.session.edges import Sound
from tests.session.kit import SHAFT, Edges, MemoryJournal, StandInInput, new_session, opened


@dataclass
class CuttingOnce:
    """Interrupts the first line of ``tone`` with "repeat"; of a torque when ``torque``."""

    output: Edges
    tone: str
    torque: bool
    cut: str = ""

    def say(self, said: Say, cuts: Expectation) -> Sound | None:
        wanted = said.tone == self.tone and self.torque == said.text.startswith("Set the wrench")
        if wanted and not self.cut and "repeat" in cuts.spec.commands:
            self.cut = said.text
            return Sound(typed("repeat"))
        self.output.say(said)
        return None

    def after(self, cuts: Expectation) -> Sound | None:
        return None


@pytest.mark.parametrize(
    ("tone", "torque", "told"),
    [("caution", True, 1), ("caution", False, 1), ("readback", False, 1), ("plain", False, 0)],
)
def test_it_is_told_with_what_was_cut(tone: str, torque: bool, told: int) -> None:
    journal, edges = MemoryJournal(), Edges()
    session = new_session(journal, edges)
    cutting = CuttingOnce(edges, tone, torque)
    session.interruptible(cutting)
    session.open(opened(session))
    assert session.run(StandInInput(session, SHAFT)) == "finished"
    assert told == 0 or cutting.cut in edges.spoken  # in the end it was said
    record = build_record(journal.entries)
    moments = [(m.what, m.detail) for m in record.moments]
    assert moments.count(("cut short", cutting.cut)) == told
    assert moments.count(("repeated", cutting.cut)) == told
    assert told == 0 or "Cut short" in to_html(record)
    assert record.unread == []


def test_an_event_that_cannot_be_read_is_told_of() -> None:
    journal = MemoryJournal()
    session = new_session(journal, Edges())
    session.open(opened(session))
    draft = Draft("event", journal.entries[-1].at, {"kind": "speech_cut", "unsaid": 3})
    entries: list[Entry] = [*journal.entries, *journal.append("s1", [draft], len(journal.entries))]
    assert [u.kind for u in build_record(entries).unread] == ["speech_cut"]
