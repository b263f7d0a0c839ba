"""Edges of a session that keep what reaches them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any, Literal

from assistant.dialogue.context import Context
from assistant.dialogue.edition import EDITION
from assistant.dialogue.effects import ChimeName, Say
from assistant.dialogue.events import Opened
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.stand_in import Answers
from assistant.dialogue.state import State
from assistant.journal.types import Draft, Entry, JournalError, SessionRow
from assistant.language import Language
from assistant.language.hypothesis import typed
from assistant.session.clock import DemoClock
from assistant.session.edges import EndOfInput, Pictures, Sound
from assistant.session.session import Session
from assistant.session.stand_in import next_line
from assistant.session.surroundings import SessionEdges, SessionStore
from tests.dialogue.kit import PEOPLE
from tests.shipped import shipped

START = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
INPUT_SHAFT_READINGS = {
    ("seal_runout", ""): "6/5",
    ("cap_gap", "top"): "11",
    ("cap_gap", "right"): "23/2",
    ("cap_gap", "bottom"): "12",
    ("cap_gap", "left"): "23/2",
    ("shim_thickness", ""): "14",
    ("end_float", ""): "13/5",
}
"""(step, position) -> value in the step's unit, as the demonstration says them."""


@dataclass
class MemoryJournal:
    """Keeps entries in a list; fails on the appends named in ``failing`` (counted from 1)."""

    entries: list[Entry] = field(default_factory=list)
    failing: frozenset[int] = frozenset()
    appends: int = 0

    def append(self, session: str, drafts: Sequence[Draft], expect_seq: int) -> list[Entry]:
        self.appends += 1
        if self.appends in self.failing:
            raise JournalError("The disk is full; free some space.")
        if expect_seq != len(self.entries):
            raise JournalError("Another process is recording this session.")
        new = [
            Entry(d.kind, d.at, d.body, d.clip, d.engine, session, expect_seq + i)
            for i, d in enumerate(drafts, 1)
        ]
        self.entries += new
        return new

    def read(self, session: str, after: int = 0) -> Iterator[Entry]:
        return iter(tuple(self.entries)[after:])

    def sessions(self) -> list[SessionRow]:
        return []

    def facts(self, kind: str) -> list[dict[str, Any]]:
        return [e.body for e in self.entries if e.kind == "fact" and e.body["kind"] == kind]


@dataclass
class Edges:
    """Speech output and screen in one."""

    spoken: list[str] = field(default_factory=list)
    chimes: list[str] = field(default_factory=list)
    adjusted: list[tuple[str, int]] = field(default_factory=list)
    facts: list[AnyFact] = field(default_factory=list)
    recordings: frozenset[str] = frozenset()
    played: list[str] = field(default_factory=list)

    def say(self, said: Say) -> None:
        self.spoken.append(said.text)
        if said.sound in self.recordings:
            self.played.append(said.sound)

    def can_play(self, clip: str) -> bool:
        return clip in self.recordings

    def chime(self, which: ChimeName) -> None:
        self.chimes.append(which)

    def adjust(self, what: Literal["rate", "volume"], steps: int) -> None:
        self.adjusted.append((what, steps))

    def heard(self, sound: Sound) -> None: ...

    def said(self, said: Say) -> None: ...

    def recorded(self, fact: AnyFact) -> None:
        self.facts.append(fact)

    def state(self, state: State) -> None: ...


@dataclass
class StandInInput:
    """Hears what the stand-in builder says, up to ``turns`` times."""

    session: Session
    answers: Answers
    turns: int = 1000

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        self.turns -= 1
        line = next_line(self.session.context, self.session.state, self.answers)
        if self.turns < 0:
            raise EndOfInput
        return None if line is None else Sound(typed(line))


@dataclass
class InterposedInput(StandInInput):
    """Hears ``lines`` of a step first, one by one, and then what the stand-in builder says."""

    lines: dict[str, list[str]] = field(default_factory=dict)

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        waiting = self.lines.get(self.session.state.step or "", [])
        if waiting:
            return Sound(typed(waiting.pop(0)))
        return super().hear(expected, patience_s)


def demo_context(name: str = "kb2_input_shaft") -> Context:
    """A shipped procedure with its language."""
    procedure = shipped(name)
    return Context(procedure, Language.load(procedure.language))


def new_session(
    journal: MemoryJournal,
    edges: Edges,
    context: Context | None = None,
    start: datetime = START,
    pictures: Pictures | None = None,
) -> Session:
    """A session at a demonstration clock."""
    return Session(
        "s1",
        context or demo_context(),
        store=SessionStore(journal, pictures=pictures),
        edges=SessionEdges(edges, edges, DemoClock(start)),
    )


def opened(session: Session) -> Opened:
    """The opening event of ``session``."""
    return opened_event(session.context)


def opened_event(context: Context) -> Opened:
    """The opening event of a session in ``context``."""
    procedure = context.procedure
    return Opened(
        at=START.isoformat(),
        job="KB2-7",
        procedure_id=procedure.id,
        procedure_revision=procedure.revision,
        procedure_sha256="0" * 64,
        procedure=procedure.model_dump(mode="json"),
        people=PEOPLE,
        clock="demo",
        talk="usual",
        edition=EDITION,
    )


SHAFT = Answers(
    revision="C",
    variant="standard",
    parts="new",
    inspector="MQ",
    choices={"seal_kind": "lip_seal"},
    numbers={"shaft_serial": "KB217"},
    readings={
        "seal_runout": {"": "reading 1.2 thou"},
        "cap_gap": {
            "top": "reading 11 thou",
            "right": "reading 11.5 thou",
            "bottom": "reading 12 thou",
            "left": "reading 11.5 thou",
        },
        "shim_thickness": {"": "reading 14 thou"},
        "end_float": {"": "reading 2.6 thou"},
    },
)
