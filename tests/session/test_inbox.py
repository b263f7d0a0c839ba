"""Answers to effects wait in the inbox: one event is handled whole before the next begins."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.dialogue.effects import FetchPicture, Say
from assistant.dialogue.expectation import Expectation, listening
from assistant.language.hypothesis import typed
from assistant.session.edges import NoPicture, Sound
from assistant.session.session import Session
from tests.session.kit import Edges, MemoryJournal, new_session, opened


@dataclass
class NoPictures:
    """Finds none; keeps the state of the session in which it was asked."""

    asked: list[int] = field(default_factory=list)
    journal: MemoryJournal | None = None

    def fetch(self, wanted: FetchPicture) -> NoPicture:
        assert self.journal is not None
        self.asked.append(len(self.journal.entries))
        return NoPicture("none")


@dataclass
class CuttingFrom:
    """Cuts in on every line from the ``first``-th on."""

    first: int
    lines: list[str] = field(default_factory=list)

    def say(self, said: Say, cuts: Expectation) -> Sound | None:
        self.lines.append(said.text)
        return Sound(typed("repeat")) if len(self.lines) >= self.first else None

    def after(self, cuts: Expectation) -> Sound | None:
        return None


def say(session: Session, line: str) -> None:
    session.take(Sound(typed(line)), listening(session.context, session.state))


def at_first_step(failing: frozenset[int] = frozenset()) -> tuple[Session, MemoryJournal, Edges]:
    journal, edges, pictures = MemoryJournal(failing=failing), Edges(), NoPictures()
    pictures.journal = journal
    session = new_session(journal, edges, pictures=pictures)
    assert session.open(opened(session))
    return session, journal, edges


def events(journal: MemoryJournal) -> list[object]:
    return [e.body["kind"] for e in journal.entries if e.kind == "event"]


def test_the_answer_to_an_effect_follows_the_event_that_asked_for_it() -> None:
    session, journal, edges = at_first_step()
    say(session, "attach a picture")
    assert events(journal) == ["opened", "heard", "picture_missed"]
    assert [e.seq for e in journal.entries] == list(range(1, len(journal.entries) + 1))
    assert "no picture" in edges.spoken[-1].lower()


def test_an_answer_that_cannot_be_stored_changes_nothing_and_the_builder_hears_so() -> None:
    session, journal, edges = at_first_step(frozenset({3}))
    say(session, "attach a picture")
    before = session.state
    assert events(journal) == ["opened", "heard"]
    assert "cannot be recorded" in edges.spoken[-1]
    assert not any("no picture" in text.lower() for text in edges.spoken)
    say(session, "attach a picture")
    assert events(journal)[2:] == ["heard", "picture_missed", "equipment_changed"]
    assert session.state.step == before.step
    assert "Recording works again" in edges.spoken[-1]


def test_all_that_a_cut_leaves_unsaid_is_stored_once_after_the_answers() -> None:
    journal, edges, pictures = MemoryJournal(), Edges(), NoPictures()
    pictures.journal = journal
    session = new_session(journal, edges, pictures=pictures)
    cutting = CuttingFrom(1)
    session.interruptible(cutting)
    assert session.open(opened(session))
    assert events(journal) == ["opened", "speech_cut"]
    lines = [str(e.body["text"]) for e in journal.entries if e.kind == "said"]
    (cut,) = [e.body for e in journal.entries if e.body.get("kind") == "speech_cut"]
    assert [line["text"] for line in cut["unsaid"]] == lines
    assert cutting.lines == lines[:1]  # what comes after the cut is not begun
