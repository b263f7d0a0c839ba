"""Timers of a session ring by the steady clock; both clocks stand in the journal."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Literal

from assistant.dialogue.context import Context
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.states import Waiting
from assistant.language import Language
from assistant.language.hypothesis import typed
from assistant.session.clock import WallClock
from assistant.session.edges import EndOfInput, Sound
from assistant.session.session import Session, rebuild
from assistant.session.surroundings import SessionEdges, SessionStore
from tests.dialogue.kit import procedure
from tests.session.kit import Edges, MemoryJournal, opened

CURE = {"id": "cure", "kind": "wait", "duration": "12 h"}
LAST = {"id": "last", "kind": "action"}


class TwoClocks:
    """A wall clock that can be set, beside a clock that cannot."""

    kind: Literal["wall", "demo"] = "wall"
    boot = "run 1"

    def __init__(self) -> None:
        self.wall = datetime(2026, 1, 5, 8, tzinfo=UTC)
        self.steady_ms = 5000

    def now(self) -> datetime:
        return self.wall

    def elapsed_ms(self) -> int:
        return self.steady_ms

    def skip_to(self, elapsed_ms: int) -> bool:
        return False

    def run_on(self, time: timedelta) -> None:
        self.wall += time
        self.steady_ms += time // timedelta(milliseconds=1)


class Source:
    """Says its lines, then lets two clocks run on as ``then`` says each time it is asked."""

    def __init__(self, clock: TwoClocks, lines: list[str], then: list[tuple[int, int]]) -> None:
        self.clock, self.lines, self.then = clock, lines, then
        self.patience: list[float | None] = []

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        if self.lines:
            return Sound(typed(self.lines.pop(0)))
        self.patience.append(patience_s)
        if not self.then:
            raise EndOfInput
        hours, jump = self.then.pop(0)
        self.clock.run_on(timedelta(hours=hours))
        self.clock.wall += timedelta(hours=jump)
        return None


def begun(then: list[tuple[int, int]]) -> tuple[Session, MemoryJournal, TwoClocks, Source]:
    clock, journal, edges = TwoClocks(), MemoryJournal(), Edges()
    context = Context(procedure(CURE, LAST), Language.load("en-US"))
    session = Session(
        "s1", context, store=SessionStore(journal), edges=SessionEdges(edges, edges, clock)
    )
    session.open(opened(session).model_copy(update={"clock": "wall"}))
    source = Source(clock, ["charlie", "that is right", "go on"], then)
    session.run(source)
    return session, journal, clock, source


def test_a_jump_of_the_wall_clock_neither_ends_a_cure_nor_wakes_the_session() -> None:
    session, journal, _, source = begun([(1, 24), (10, 0)])
    assert session.state.awaiting == Waiting()
    assert source.patience == [12 * 3600, 11 * 3600, 1 * 3600]
    assert journal.facts("wait_over") == []
    assert not [e for e in journal.entries if e.body.get("kind") == "timer_elapsed"]


def test_a_wall_clock_set_back_does_not_drag_it_out() -> None:
    session, journal, _, _ = begun([(1, -48), (11, 0)])
    assert session.state.step == "last"
    assert len(journal.facts("wait_over")) == 1


def test_both_clocks_stand_in_the_journal_and_a_replay_needs_no_other() -> None:
    session, journal, clock, _ = begun([(1, 24), (11, 0)])
    events = [e.body for e in journal.entries if e.kind == "event"]
    assert events[0]["boot"] == "run 1"
    assert [e["elapsed_ms"] for e in events][-1] == clock.steady_ms
    assert rebuild(session.context, journal, "s1")[0] == session.state


def test_a_session_taken_up_in_the_same_run_goes_on_by_the_steady_clock() -> None:
    before, journal, clock, _ = begun([])
    clock.run_on(timedelta(hours=2))
    clock.wall += timedelta(days=1)
    edges = Edges()
    session = Session(
        "s1", before.context, store=SessionStore(journal), edges=SessionEdges(edges, edges, clock)
    )
    session.resume()
    source = Source(clock, [], [(9, 0), (1, 0)])
    session.run(source)
    assert source.patience[0] == 10 * 3600
    assert session.state.step == "last"


def test_the_machines_own_steady_clock_never_goes_back() -> None:
    clock = WallClock()
    seen = [clock.elapsed_ms() for _ in range(1000)]
    assert seen == sorted(seen)
    assert clock.boot
    assert clock.boot == WallClock().boot
