"""A procedure with every step kind, small enough to read, and a keyboard to drive it."""

from __future__ import annotations

import builtins
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any, TypeVar

from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.edition import EDITION
from assistant.dialogue.effects import Effect, Record, Say
from assistant.dialogue.events import AnyEvent, Heard, Opened, Person
from assistant.dialogue.expectation import listening
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.state import State
from assistant.dialogue.states import DialogueState
from assistant.dialogue.talk import Talk
from assistant.language import Language
from assistant.language.hypothesis import Hypothesis, Recognition, Word, typed
from assistant.language.policy import Policy
from assistant.procedure.models import Procedure
from assistant.quantities.habit import Habit
from assistant.quantities.tools import Bench as ToolBench

_F = TypeVar("_F", bound=Fact)
_S = TypeVar("_S", bound=DialogueState)

PEOPLE = (
    Person(name="Otto Brandwick", initials="OB", role="builder"),
    Person(name="Marta Quill", initials="MQ", role="inspector"),
)

GAUGES: list[dict[str, Any]] = [
    {"id": "feelers", "kind": "feeler", "name": "feeler set", "unit": "thou",
     "resolution": "0.5 thou", "members": ["1.5 thou", "2 thou", "3 thou", "4 thou"]},
    {"id": "dial", "kind": "dial_indicator", "name": "dial indicator", "unit": "thou",
     "resolution": "0.1 thou", "lower": "0 thou", "upper": "200 thou", "uncertainty": "0.2 thou"},
    {"id": "mic", "kind": "micrometer", "name": "micrometer", "unit": "mm",
     "resolution": "0.01 mm"},
    {"id": "wrench", "kind": "torque_wrench", "name": "small torque wrench", "unit": "lbf*ft",
     "resolution": "0.5 lbf*ft", "lower": "2 lbf*ft", "upper": "25 lbf*ft"},
]  # fmt: skip

# Steps and a box of shims that several tests work with.
LAST = {"id": "last", "kind": "action"}
GAP = {
    "id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
    "lower": "5 thou", "upper": "30 thou",
}  # fmt: skip
HALF = {
    "id": "half", "kind": "derived", "quantity": "half gap", "unit": "thou", "formula": "g / 2",
    "inputs": {"g": "gap"}, "upper": "10 thou",
}  # fmt: skip
SHIMS = {
    "id": "shims", "kind": "shims", "quantity": "end float", "unit": "thou", "gap": "gap",
    "stock": "shim_set", "lower": "2 thou", "upper": "4 thou",
}  # fmt: skip
SHIM_SET = {
    "id": "shim_set", "kind": "shim_set", "name": "shim set", "unit": "thou",
    "resolution": "1 thou", "members": ["2 thou", "3 thou", "5 thou", "5 thou"],
}  # fmt: skip


def procedure(*steps: Mapping[str, object], **more: object) -> Procedure:
    """A Kettlebeck KB-2 procedure around ``steps``; titles and words are filled in."""
    full = [{"title": str(s["id"]).replace("_", " "), "say": "Do it.", **s} for s in steps]
    return Procedure.model_validate(
        {
            "id": "kb2_test",
            "title": "Kettlebeck KB-2 test rig",
            "revision": "A",
            "governing": {
                "title": "Kettlebeck KB-2 Workshop Manual",
                "revision": "C",
                "date": "2025-01-01",
            },
            "gauges": GAUGES,
            "consumables": [{"id": "oil", "name": "light machine oil"}],
            "parts": [{"id": "shaft", "name": "input shaft", "marked": True}],
            "steps": full,
            **more,
        }
    )


@dataclass
class Bench:
    """Drives the pure core with typed or heard lines and keeps the outcome."""

    procedure: Procedure
    policy: Policy = field(default_factory=Policy)
    talk: Talk | None = "new"  # None: as sessions were before the builder could choose
    state: State = field(default_factory=State)
    events: list[AnyEvent] = field(default_factory=list)
    facts: list[AnyFact] = field(default_factory=list)
    effects: tuple[Effect, ...] = ()
    now: datetime = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)

    def __post_init__(self) -> None:
        self.context = Context(self.procedure, Language.load("en-US"), self.policy)

    def at(self) -> str:
        """The next second, as an event's time stamp."""
        self.now += timedelta(seconds=1)
        return self.now.isoformat()

    def feed(self, event: AnyEvent) -> str:
        """One event; returns what was said in answer."""
        self.events.append(event)
        self.state, self.effects = advance(self.context, self.state, event)
        self.facts += [e.fact for e in self.effects if isinstance(e, Record)]
        said = " ".join(e.text for e in self.effects if isinstance(e, Say))
        assert re.search(r"\bNone\b(?! of)", said) is None, f"a word is missing in: {said}"
        return said

    def open(
        self,
        people: tuple[Person, ...] = PEOPLE,
        tools: ToolBench | None = None,
        habit: Habit | None = None,
    ) -> str:
        """Open the session."""
        return self.feed(
            Opened(
                at=self.at(),
                job="KB2-7",
                procedure_id=self.procedure.id,
                procedure_revision=self.procedure.revision,
                procedure_sha256="0" * 64,
                procedure=self.procedure.model_dump(mode="json"),
                people=people,
                phrases_asked=True,
                edition=EDITION,
                talk=self.talk,
                bench=tools,
                habit=habit,
            )
        )

    def start(self) -> str:
        """Open the session and pass the manual check."""
        self.open()
        self.type("charlie")
        return self.say("confirm")

    def type(self, *lines: str) -> str:
        """Type lines; returns the last answer."""
        answer = ""
        for line in lines:
            answer = self.feed(Heard(at=self.at(), recognition=typed(line)))
        return answer

    def say(self, *commands: str) -> str:
        """Type the first phrase of each command."""
        return self.type(*(self.context.language.phrase_for(c) for c in commands))

    def hear(
        self,
        text: str,
        confidence: float = 1.0,
        others: tuple[tuple[str, float], ...] = (),
        second: str | None = None,
    ) -> str:
        """An utterance from a recogniser called ``test``."""
        options = ((text, confidence), *others)
        hypotheses = tuple(
            Hypothesis(tuple(Word(w, confidence=c) for w in t.split()), c) for t, c in options
        )
        recognition = Recognition(hypotheses, "test", second)
        return self.feed(Heard(at=self.at(), recognition=recognition, clip="clip-1"))

    def kinds(self) -> list[str]:
        """The kinds of the facts so far."""
        return [f.kind for f in self.facts]

    def of(self, kind: builtins.type[_F]) -> list[_F]:
        """The facts of one kind."""
        return [f for f in self.facts if isinstance(f, kind)]

    def awaiting(self) -> DialogueState:
        """What is awaited now: asked each time, for every line said may change it."""
        return self.state.awaiting

    def awaits(self, kind: builtins.type[_S]) -> _S:
        """What is awaited now, which must be of this kind."""
        awaiting = self.state.awaiting
        assert isinstance(awaiting, kind), awaiting
        return awaiting

    def expected(self) -> tuple[str, ...]:
        """The commands that may be said now."""
        return listening(self.context, self.state).spec.commands


def replay(context: Context, events: Iterable[AnyEvent]) -> State:
    """The state that a session's events lead to."""
    state = State()
    for event in events:
        state, _ = advance(context, state, event)
    return state


def begun(*steps: Mapping[str, object], tools: ToolBench | None = None) -> Bench:
    """A session on ``tools`` that is past the manual check; a box of shims is at hand."""
    b = Bench(procedure(*steps, LAST, gauges=[*GAUGES, SHIM_SET]))
    b.open(PEOPLE, tools)
    b.type("charlie")
    b.say("confirm")
    return b
