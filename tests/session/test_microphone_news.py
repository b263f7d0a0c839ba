"""What happens to the microphone is said, shown and stored, and a wait for speech looks for it."""

from __future__ import annotations

from collections import deque
from typing import Literal

import pytest

from assistant.audio.reconnecting import MicrophoneNews
from assistant.dialogue.expectation import Expectation
from assistant.report.record import build_record
from assistant.session.clock import DemoClock
from assistant.session.edges import Sound
from assistant.session.news import NewsStream
from assistant.session.session import Session
from assistant.session.surroundings import SessionEdges, SessionStore
from tests.session.kit import SHAFT, START, Edges, MemoryJournal, StandInInput, demo_context, opened

WORDS = {
    "lost": "The microphone KB Talk is gone",
    "back": "The microphone is back",
    "overrun": "Some sound was lost",
    "clipped": "Too loud",
    "moved": "another microphone, KB Talk",
}

RECORDED = {
    "lost": "failed",
    "back": "works again",
    "overrun": "lost some sound",
    "clipped": "was too loud",
    "moved": "changed",
}


class ImpatientEar(StandInInput):
    """Hears nothing at first, as long as it is asked to wait for a bounded time only."""

    silent = 3

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        if self.silent:
            self.silent -= 1
            assert patience_s is not None
            assert patience_s <= 1.0
            return None
        return super().hear(expected, patience_s)


@pytest.mark.parametrize("what", ["lost", "back", "overrun", "clipped", "moved"])
def test_it_is_said_once_and_stored(
    what: Literal["lost", "back", "overrun", "clipped", "moved"],
) -> None:
    news = deque([MicrophoneNews(what, "KB Talk")])
    journal, edges = MemoryJournal(), Edges()
    stream = NewsStream()
    stream.of_microphone(lambda: news.popleft() if news else None)
    session = Session(
        "s1",
        demo_context(),
        store=SessionStore(journal),
        edges=SessionEdges(edges, edges, DemoClock(START), stream),
    )
    session.open(opened(session))
    assert session.run(ImpatientEar(session, SHAFT)) == "finished"
    assert sum(WORDS[what] in text for text in edges.spoken) == 1
    (stored,) = [e.body for e in journal.entries if e.body.get("kind") == "equipment_changed"]
    assert (stored["part"], stored["working"]) == ("microphone", what != "lost")
    (moment,) = [m for m in build_record(journal.entries).moments if WORDS[what] in m.detail]
    assert moment.what == "microphone " + RECORDED[what]
