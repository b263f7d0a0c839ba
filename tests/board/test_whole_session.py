"""Whole sessions of the shipped procedures with the board looking on at every step."""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from assistant.board.build import build_view
from assistant.board.feed import Feed
from assistant.board.screen import BoardScreen
from assistant.board.together import ScreensTogether
from assistant.board.view import BoardView
from assistant.board.words import BoardWords, load_words
from assistant.dialogue.context import Context
from assistant.dialogue.effects import Say
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.facts import StepOpened
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.kinds.tightening.facts import FastenerTightened
from assistant.dialogue.kinds.tightening.states import Tightening
from assistant.dialogue.state import State
from assistant.dialogue.states import Ended
from assistant.language.hypothesis import typed
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.kinds.wait import WaitStep
from assistant.session.clock import DemoClock
from assistant.session.edges import Sound
from assistant.session.session import Session
from assistant.session.surroundings import SessionEdges, SessionStore
from tests.session.kit import SHAFT, START, Edges, MemoryJournal, StandInInput, demo_context, opened


@dataclass
class Onlooker:
    """Builds the view at everything the session shows, as a tablet would."""

    context: Context
    feed: Feed
    words: BoardWords = field(default_factory=lambda: load_words("en-US"))
    views: list[tuple[State, BoardView]] = field(default_factory=list)

    def _look(self) -> None:
        snapshot = self.feed.frame.snapshot
        self.views.append((snapshot.state, build_view(self.context, snapshot, self.words)))

    def heard(self, sound: Sound) -> None:
        self._look()

    def said(self, said: Say) -> None:
        self._look()

    def recorded(self, fact: AnyFact) -> None:
        self._look()

    def state(self, state: State) -> None:
        self._look()


class OneByOne(StandInInput):
    """Says each fastener done, and not all of a pass at once."""

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        heard = super().hear(expected, patience_s)
        said = heard and heard.recognition.hypotheses[0].text
        return Sound(typed("fastener done")) if said == "whole pass done" else heard


@pytest.fixture(scope="module")
def session() -> tuple[Edges, list[tuple[State, BoardView]]]:
    """The input shaft from end to end: what was recorded, and what the board showed."""
    context = demo_context()
    edges, feed = Edges(), Feed()
    onlooker = Onlooker(context, feed)
    screen = ScreensTogether(edges, BoardScreen(feed), onlooker)
    work = Session(
        "s1",
        context,
        store=SessionStore(MemoryJournal()),
        edges=SessionEdges(edges, screen, DemoClock(START)),
    )
    assert work.open(opened(work))
    assert work.run(OneByOne(work, SHAFT)) == "finished"
    return edges, onlooker.views


def test_the_board_follows_to_the_end(session: tuple[Edges, list[tuple[State, BoardView]]]) -> None:
    _, views = session
    state, view = views[-1]
    assert isinstance(state.awaiting, Ended)
    assert view.alarm == "finished"
    assert view.following == ()


def test_every_opened_step_was_on_the_board(
    session: tuple[Edges, list[tuple[State, BoardView]]],
) -> None:
    edges, views = session
    shown = {view.step.title for _, view in views if view.step is not None}
    opened_steps = {f.title for f in edges.facts if isinstance(f, StepOpened)}
    # what is computed and within limits opens and closes in one breath, and so does a wait that
    # runs from the end of the step before
    at_once = {
        step.title
        for step in demo_context().procedure.steps
        if isinstance(step, DerivedStep) or (isinstance(step, WaitStep) and step.at_once)
    }
    assert shown == opened_steps - at_once


def test_the_map_agrees_with_the_record_of_each_fastener(
    session: tuple[Edges, list[tuple[State, BoardView]]],
) -> None:
    """The last map of each pass shows as done what the record says was tightened."""
    edges, views = session
    tightened = [f.fastener for f in edges.facts if isinstance(f, FastenerTightened)]
    due: list[str] = []
    for state, view in views:
        if isinstance(state.awaiting, Tightening):
            assert view.fasteners is not None
            now = next(f.label for f in view.fasteners.fasteners if f.due)
            if not due or due[-1] != now:
                due.append(now)
            done = sum(f.passes_done for f in view.fasteners.fasteners)
            count = len(view.fasteners.fasteners)
            assert done == state.awaiting.pass_index * count + state.awaiting.turn
    assert due == tightened


def test_a_new_state_is_on_the_board_before_it_is_spoken_about() -> None:
    context = demo_context()
    feed = Feed()
    screen = BoardScreen(feed)
    seen: list[bool] = []

    class Output(Edges):
        def say(self, said: Say) -> None:
            seen.append(feed.frame.snapshot.state == work.state)

    work = Session(
        "s1",
        context,
        store=SessionStore(MemoryJournal()),
        edges=SessionEdges(Output(), screen, DemoClock(START)),
    )
    work.open(opened(work))
    assert seen
    assert all(seen)
