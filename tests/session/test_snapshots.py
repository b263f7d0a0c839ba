"""A snapshot is a cache: with it, without it, or with a wrong one, the state is the same."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.cli.bench_file import load_bench
from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.events import Heard, PictureFound, Resumed, Revised, TimerElapsed
from assistant.dialogue.expectation import listening
from assistant.dialogue.state import State
from assistant.journal.store import SqlJournal
from assistant.language.hypothesis import typed
from assistant.language.policy import Policy
from assistant.session.clock import DemoClock
from assistant.session.session import ReplayError, Session, rebuild
from assistant.session.snapshots import SnapshotFolder, StateSnapshot
from assistant.session.stand_in import next_line
from assistant.session.state_text import from_plain, to_plain
from assistant.session.surroundings import SessionEdges, SessionStore
from tests.session.kit import SHAFT, START, Edges, StandInInput, demo_context, opened, opened_event

CONTEXT = demo_context()
BENCH = load_bench(Path(__file__).parents[2] / "docs" / "examples" / "kettlebeck_bench.yaml")
AT = START.isoformat()
ASIDE = (
    "take a note", "attach a picture", "go back", "skip this step", "stop work", "that is wrong",
    "that is right", "correction", "speak faster", "one was missed", "measure again",
    "reading 9 inches", "reading 3 thou", "use as is", "rework the part", "already done",
    "inspector mike quebec", "inspection refused", "nonsense",
)  # fmt: skip


def through(state: State) -> State:
    """``state`` written as text and read again."""
    return from_plain(json.loads(json.dumps(to_plain(state))))


def said(state: State, choice: int) -> str:
    line = next_line(CONTEXT, state, SHAFT) or "go on"
    return line if choice < 0 else ASIDE[choice]


@settings(deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.one_of(st.just(-1), st.integers(0, len(ASIDE) - 1)), max_size=60))
def test_every_state_that_a_session_reaches_comes_back_as_it_was(choices: list[int]) -> None:
    event = opened_event(CONTEXT)
    state, _ = advance(CONTEXT, State(), event.model_copy(update={"bench": BENCH}))
    for choice in choices:
        line = said(state, choice)
        state, effects = advance(CONTEXT, state, Heard(at=AT, recognition=typed(line)))
        if any(type(e).__name__ == "FetchPicture" for e in effects):
            found = PictureFound(
                at=AT, step=state.step, name="a", file="a" * 64, media="png", size=1, taken=AT
            )
            state, _ = advance(CONTEXT, state, found)
        if state.stopped:
            revised = Revised(revision="B", sha256="1" * 64, changed=("lock_out",))
            state, _ = advance(CONTEXT, state, Resumed(at=AT, revised=revised))
        for step, until in state.waits.items():
            state, _ = advance(CONTEXT, state, TimerElapsed(at=until, step=step))
        again = through(state)
        assert again == state
        # what "correction" takes back hangs on the order in which values were said
        assert [list(v) for v in again.values.values()] == [list(v) for v in state.values.values()]
        assert listening(CONTEXT, again) == listening(CONTEXT, state)


def stored(folder: Path, turns: int = 30) -> tuple[SqlJournal, SnapshotFolder, Session]:
    """A session of some turns, whose snapshot is older than its end."""
    journal, snapshots = SqlJournal(folder / "records.db"), SnapshotFolder(folder / "snapshots")
    edges = Edges()
    session = Session(
        "s1",
        CONTEXT,
        store=SessionStore(journal),
        edges=SessionEdges(edges, edges, DemoClock(START)),
    )
    session.open(opened(session))
    session.run(StandInInput(session, SHAFT, turns))
    state, seq = rebuild(CONTEXT, journal, "s1")
    last = list(journal.read("s1"))[-1]
    snapshots.save("s1", CONTEXT, StateSnapshot(seq, last.hash, state))
    session.run(StandInInput(session, SHAFT, 5))
    return journal, snapshots, session


@pytest.mark.parametrize("turns", [0, 7, 22, 40])
def test_from_a_snapshot_it_is_the_state_of_the_whole_replay(tmp_path: Path, turns: int) -> None:
    journal, snapshots, session = stored(tmp_path, turns)
    assert snapshots.load("s1", CONTEXT) is not None
    with_it = rebuild(CONTEXT, journal, "s1", snapshots)
    assert with_it == rebuild(CONTEXT, journal, "s1")
    assert with_it[0] == session.state


def test_only_what_came_after_the_snapshot_is_replayed(tmp_path: Path) -> None:
    journal, snapshots, _ = stored(tmp_path)
    found = snapshots.load("s1", CONTEXT)
    assert found is not None
    # A state that no replay gives, at the right hash, is believed: so it was not replayed.
    snapshots.save("s1", CONTEXT, replace(found, state=replace(found.state, job="KB2-other")))
    assert rebuild(CONTEXT, journal, "s1", snapshots)[0].job == "KB2-other"


def damage(change: Callable[[bytes], bytes]) -> Callable[[Path], None]:
    def damaged(folder: Path) -> None:
        (file,) = folder.iterdir()
        file.write_bytes(change(file.read_bytes()))

    return damaged


@pytest.mark.parametrize(
    "harm",
    [
        damage(lambda b: b[: len(b) // 2]),
        damage(lambda b: b""),
        damage(lambda b: b.replace(b"KB2-7", b"KB2-8")),
        damage(lambda b: b"[" * 100_000),
        damage(lambda b: b'{"sum": 1, "whole": 2}'),
        damage(lambda b: b"\xff\xfe"),
    ],
)
def test_a_damaged_snapshot_is_as_good_as_none(
    tmp_path: Path, harm: Callable[[Path], None]
) -> None:
    journal, snapshots, session = stored(tmp_path)
    harm(tmp_path / "snapshots")
    assert snapshots.load("s1", CONTEXT) is None
    assert rebuild(CONTEXT, journal, "s1", snapshots)[0] == session.state


def test_a_snapshot_that_the_journal_does_not_bear_out_is_left(tmp_path: Path) -> None:
    journal, snapshots, session = stored(tmp_path)
    found = snapshots.load("s1", CONTEXT)
    assert found is not None
    wrong = replace(found.state, job="KB2-wrong")
    for foreign in (
        replace(found, hash="0" * 64, state=wrong),
        replace(found, seq=found.seq - 1, state=wrong),
        replace(found, seq=10**6, state=wrong),
    ):
        snapshots.save("s1", CONTEXT, foreign)
        assert rebuild(CONTEXT, journal, "s1", snapshots)[0] == session.state


def test_another_policy_or_session_does_not_take_it(tmp_path: Path) -> None:
    _, snapshots, _ = stored(tmp_path)
    other = Context(CONTEXT.procedure, CONTEXT.language, Policy(reject=0.9))
    assert snapshots.load("s1", other) is None
    assert snapshots.load("s2", CONTEXT) is None


def test_a_resumed_session_leaves_a_snapshot_when_it_is_stopped(tmp_path: Path) -> None:
    journal, snapshots, _ = stored(tmp_path)
    (tmp_path / "snapshots").rename(tmp_path / "old")
    edges = Edges()
    session = Session(
        "s1",
        CONTEXT,
        store=SessionStore(journal, snapshots=snapshots),
        edges=SessionEdges(edges, edges, DemoClock(START)),
    )
    session.resume()
    for line in ("stop work", "that is right"):
        session.feed(Heard(at=AT, recognition=typed(line)))
    found = snapshots.load("s1", CONTEXT)
    assert found is not None
    assert found.state == session.state
    assert rebuild(CONTEXT, journal, "s1", snapshots) == rebuild(CONTEXT, journal, "s1")


def test_a_folder_that_cannot_be_written_to_stops_nothing(tmp_path: Path) -> None:
    (tmp_path / "snapshots").write_text("in the way")
    snapshots = SnapshotFolder(tmp_path / "snapshots")
    snapshots.save("s1", CONTEXT, StateSnapshot(1, "0" * 64, State()))
    assert snapshots.load("s1", CONTEXT) is None


def test_facts_after_the_snapshot_are_still_compared(tmp_path: Path) -> None:
    journal, snapshots, _ = stored(tmp_path, 9)
    found = snapshots.load("s1", CONTEXT)
    assert found is not None
    snapshots.save("s1", CONTEXT, replace(found, state=State()))
    with pytest.raises(ReplayError):
        rebuild(CONTEXT, journal, "s1", snapshots)
