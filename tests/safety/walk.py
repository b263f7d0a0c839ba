"""One session from a number: a job, an interrupted builder, the real session and its journal."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import UTC, datetime
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray
from pydantic import TypeAdapter

from assistant.dialogue.context import Context
from assistant.dialogue.edition import EDITION
from assistant.dialogue.effects import Say
from assistant.dialogue.events import AnyEvent, Opened, Resumed, Revised
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.state import State
from assistant.dialogue.talk import Talk
from assistant.journal.types import Draft, Entry, JournalError
from assistant.quantities.tools import Bench
from assistant.session.edges import EndOfInput, Sound
from assistant.session.session import ReplayError, Session
from assistant.session.snapshots import SnapshotFolder, StateSnapshot
from assistant.session.surroundings import SessionEdges, SessionStore
from tests.dialogue.kit import PEOPLE
from tests.safety.builder import Builder, Camera, Clock, LeftOffError
from tests.safety.invariants import breaches
from tests.safety.jobs import Job, job, tools
from tests.safety.other_tools import other_tools, with_other_tools
from tests.safety.reach import reached
from tests.safety.trace import Came, Stated, Trace
from tests.session.kit import MemoryJournal

START = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
_FACTS: TypeAdapter[AnyFact] = TypeAdapter(AnyFact)
_DISK_FULL = 0.003  # of what is to be stored
MOST_TURNS = 400  # a builder who gets nowhere gives up


@dataclass(frozen=True)
class Outcome:
    """What one walk reached, and every breach: (rule, sentence, the turns that led there)."""

    seed: int
    procedure: str
    reached: Counter[str]
    breaches: tuple[tuple[str, str, str], ...]


class _Edges:
    """The builder as speech output and screen: ``state`` is a method here and a look there."""

    def __init__(self, builder: Builder) -> None:
        self._builder = builder
        self.chime, self.adjust = builder.chime, builder.adjust
        self.heard, self.said = builder.heard, builder.said

    def say(self, said: Say) -> None:
        self._builder.say(said)

    def can_play(self, clip: str) -> bool:
        return self._builder.can_play(clip)

    def recorded(self, fact: AnyFact) -> None:
        self._builder.recorded(fact)

    def state(self, state: State) -> None: ...


class _Recordings:
    """Names recordings as the store does, and forgets them."""

    def keep(self, samples: NDArray[np.int16]) -> str:
        return sha256(samples.tobytes()).hexdigest()

    def sound(self, clip: str) -> NDArray[np.int16] | None:
        return None


class _Journal(MemoryJournal):
    """A journal whose facts are noted down as they are stored, and whose disk fills up at times."""

    def __init__(self, rng: random.Random, trace: Trace) -> None:
        super().__init__()
        self._rng = rng
        self._trace = trace

    def append(self, session: str, drafts: Sequence[Draft], expect_seq: int) -> list[Entry]:
        if expect_seq and self._rng.random() < _DISK_FULL:
            raise JournalError("The disk is full; free some space.")
        stored = super().append(session, drafts, expect_seq)
        facts = [_FACTS.validate_python(d.body) for d in drafts if d.kind == "fact"]
        self._trace.moves += [Stated(fact) for fact in facts]
        return stored


class _Replayed(SnapshotFolder):
    """The state that the last resume rebuilt: the next one replays on from there.

    So all is replayed from the beginning, but once, not once for each resume that comes after it:
    what a pure function has made of the same events would only be made again.
    """

    def __init__(self) -> None:
        self.newest: StateSnapshot | None = None

    def load(self, session: str, context: Context) -> StateSnapshot | None:
        return self.newest

    def save(self, session: str, context: Context, snapshot: StateSnapshot) -> None:
        """Keep nothing: the state of the session that runs was not replayed."""


class _Watched(Session):
    """A session whose events are noted down, and whose state is compared when it is rebuilt."""

    trace: Trace
    clock: Clock
    replayed: _Replayed
    was: State | None = None

    def _handle(self, event: AnyEvent) -> bool:
        if isinstance(event, Resumed):
            self.replayed.newest = StateSnapshot(self._seq, "", self.state)
        if isinstance(event, Resumed) and self.was is not None and self.state != self.was:
            for field in fields(State):
                now, then = getattr(self.state, field.name), getattr(self.was, field.name)
                if now != then:
                    self.trace.strange.append(f"resumed with {field.name} {now}, was {then}")
        place, came = len(self.trace.moves), Came(event, self.clock.real_s, self.clock.boot)
        self.trace.moves.append(came)
        stored = super()._handle(event)
        if not stored:
            self.trace.moves[place] = replace(came, stored=False)
        return stored


class _BuilderInput:
    def __init__(self, builder: Builder) -> None:
        self._builder = builder

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        if self._builder.turns >= MOST_TURNS:
            raise EndOfInput
        return self._builder.hear(expected, patience_s)


_TALKS: tuple[Talk | None, ...] = (None, "new", "usual", "usual", "brief")


def walk(seed: int, only: Sequence[str] = (), *, change_tools: bool = False) -> Outcome:
    """Do one job to its end, to a stop for good, or until the builder gives up.

    ``only``: a made job of these pieces of work alone. ``change_tools``: benches have tools of
    other ids, units and lengths, and the power fails more often.
    """
    rng = random.Random(seed)
    task = job(rng, only)
    changes = random.Random(seed) if change_tools else None
    if changes is not None:
        task = with_other_tools(changes, task)
    talk = random.Random(seed).choice(_TALKS)  # of its own, so that the walks stay what they were
    trace = Trace(task.context)
    journal = _Journal(rng, trace)
    clock = Clock(START)
    builder = Builder(rng, task, trace, clock)
    builder.power *= 8 if change_tools else 1
    camera = Camera(rng)
    replayed = _Replayed()
    last: State | None = None
    while builder.turns < MOST_TURNS:
        edges = _Edges(builder)
        session = _Watched(f"walk {seed}", task.context,
                           store=SessionStore(journal, _Recordings(), snapshots=replayed,
                                              pictures=camera),
                           edges=SessionEdges(edges, edges, clock))  # fmt: skip
        session.trace, session.clock, session.was = trace, clock, last
        session.replayed = replayed
        session.interruptible(builder)
        builder.state = lambda s=session: s.state  # type: ignore[misc]
        try:
            if last is None:
                begun = session.open(_opened(task, talk))
            else:
                bench = _bench(rng, task)
                if changes is not None:
                    bench = other_tools(changes, bench)
                begun = session.resume(bench, _revised(rng, task))
            if begun:  # else nothing could be stored, and the program ends there
                session.run(_BuilderInput(builder))
        except LeftOffError:
            pass
        except ReplayError as fault:
            trace.strange.append(str(fault))
            break
        except Exception as fault:
            trace.failed.append(f"{type(fault).__name__}: {fault}")
            break
        last = session.state
        if session.ended == "finished":
            break
        clock.wait(rng.choice((5, 600, 40_000)))
        if rng.random() < 0.3:
            clock.restart()
    found = tuple((rule, sentence, trace.tell(at, 12)) for rule, at, sentence in breaches(trace))
    return Outcome(seed, task.procedure.id, reached(trace, builder.done), found)


def _opened(task: Job, talk: Talk | None) -> Opened:
    procedure = task.procedure
    return Opened(
        at=START.isoformat(),
        job="KB2-7",
        procedure_id=procedure.id,
        procedure_revision=procedure.revision,
        procedure_sha256="0" * 64,
        procedure={},
        people=PEOPLE,
        bench=task.bench,
        talk=talk,
        edition=EDITION,
    )


def _bench(rng: random.Random, task: Job) -> Bench | None:
    """The same tools, other ones, or good ones."""
    chance = rng.random()
    if chance < 0.4:
        return None
    return tools(rng, task.procedure, spoilt=0.08 if chance < 0.7 else 0.0)


def _revised(rng: random.Random, task: Job) -> Revised | None:
    if rng.random() < 0.9:
        return None
    step = rng.choice(task.procedure.steps).id
    return Revised(revision="B", sha256="1" * 64, changed=(step,))
