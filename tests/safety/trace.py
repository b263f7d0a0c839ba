"""What somebody beside the bench would have seen and heard of a session, in order.

The invariants judge this and nothing else: no state of the dialogue, none of its arithmetic.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TypeVar, overload

from assistant.dialogue.context import Context
from assistant.dialogue.events import AnyEvent, Heard, Opened, Resumed
from assistant.dialogue.facts import Fact
from assistant.dialogue.kinds import AnyFact
from assistant.procedure.models import Procedure
from assistant.procedure.step import Step
from assistant.quantities.tools import Bench, BenchTool


@dataclass(frozen=True)
class Came:
    """Something happened: a turn begins.

    ``real_s``: the time that has really passed since the walk began; ``boot``: the run of the
    machine. Where it could not be ``stored``, nothing has changed.
    """

    event: AnyEvent
    real_s: float = 0.0
    boot: str = ""
    stored: bool = True


@dataclass(frozen=True)
class Said:
    """A line was spoken; ``whole`` when it was heard to its end. ``about`` as in the dialogue.

    ``sound``: the recording that was played behind it, empty for none.
    """

    text: str
    tone: str
    whole: bool
    about: str = ""
    sound: str = ""


@dataclass(frozen=True)
class Stated:
    """A fact was stored in the record."""

    fact: AnyFact


Move = Came | Said | Stated
_F = TypeVar("_F", bound=Fact)
_G = TypeVar("_G", bound=Fact)
_H = TypeVar("_H", bound=Fact)
_I = TypeVar("_I", bound=Fact)


@dataclass
class Trace:
    """A whole session.

    ``strange`` are states that were not resumed as they were, ``failed`` the exceptions.
    """

    context: Context
    moves: list[Move] = field(default_factory=list)
    strange: list[str] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)

    @property
    def procedure(self) -> Procedure:
        """What is built."""
        return self.context.procedure

    def step(self, step_id: str) -> Step:
        """A step of the procedure."""
        return self.procedure.step(step_id)

    @overload
    def facts(self, one: type[_F], /, *, until: int | None = None) -> Iterator[tuple[int, _F]]: ...
    @overload
    def facts(
        self, one: type[_F], two: type[_G], /, *, until: int | None = None
    ) -> Iterator[tuple[int, _F | _G]]: ...
    @overload
    def facts(
        self, one: type[_F], two: type[_G], three: type[_H], /
    ) -> Iterator[tuple[int, _F | _G | _H]]: ...
    @overload
    def facts(
        self, one: type[_F], two: type[_G], three: type[_H], four: type[_I], /
    ) -> Iterator[tuple[int, _F | _G | _H | _I]]: ...

    def facts(self, *kinds: type[Fact], until: int | None = None) -> Iterator[tuple[int, Fact]]:
        """(place, fact) of every fact of ``kinds``, in order; before the place ``until``."""
        for at, move in enumerate(self.moves[:until]):
            if isinstance(move, Stated) and isinstance(move.fact, kinds):
                yield at, move.fact

    def last(self, before: int, kind: type[_F], **fields: object) -> int | None:
        """The place of the last fact of ``kind`` before ``before`` that has these fields."""
        for at in range(before - 1, -1, -1):
            move = self.moves[at]
            if (
                isinstance(move, Stated)
                and isinstance(move.fact, kind)
                and all(getattr(move.fact, name) == value for name, value in fields.items())
            ):
                return at
        return None

    def fact(self, at: int) -> AnyFact:
        """The fact at a place."""
        move = self.moves[at]
        assert isinstance(move, Stated)
        return move.fact

    def cause(self, at: int) -> int:
        """The place of the event that brought about what stands at ``at``."""
        while not isinstance(self.moves[at], Came):
            at -= 1
        return at

    def event(self, at: int) -> AnyEvent:
        """The event that brought about what stands at ``at``."""
        return self.turn(at).event

    def turn(self, at: int) -> Came:
        """The beginning of the turn that brought about what stands at ``at``."""
        move = self.moves[self.cause(at)]
        assert isinstance(move, Came)
        return move

    def heard(self, after: int, before: int, *words: str, asked: bool = False) -> int | None:
        """The place of the last line between the two that was heard to its end and has ``words``.

        Capitals do not count; all of ``words`` must stand in the one line. A question does not
        count, but with ``asked``: it is not a readback and no announcement.
        """
        for at in range(before - 1, after, -1):
            move = self.moves[at]
            if not isinstance(move, Said) or not move.whole or (move.tone == "ask" and not asked):
                continue
            text = move.text.casefold()
            if all(word.casefold() in text for word in words):
                return at
        return None

    def bench(self, at: int) -> tuple[int, Bench | None]:
        """The tools on the bench at a place, and since when; None where no inventory is kept."""
        since, bench = 0, None
        for place, move in enumerate(self.moves[: at + 1]):
            if not isinstance(move, Came) or not move.stored:
                continue
            if isinstance(move.event, Opened | Resumed):
                now = move.event.bench or bench
                since, bench = (since, bench) if now == bench else (place, now)
        return since, bench

    def tool(self, at: int, tool_id: str) -> BenchTool | None:
        """The tool with this id on the bench at a place."""
        _, bench = self.bench(at)
        return next((t for t in bench.tools if t.id == tool_id), None) if bench else None

    @property
    def builder(self) -> str:
        """The builder's name."""
        opened = next(m.event for m in self.moves if isinstance(m, Came))
        assert isinstance(opened, Opened)
        return next(p.name for p in opened.people if p.role == "builder")

    @property
    def others(self) -> frozenset[str]:
        """The names of those who may accept and release."""
        opened = next(m.event for m in self.moves if isinstance(m, Came))
        assert isinstance(opened, Opened)
        return frozenset(p.name for p in opened.people if p.role == "inspector")

    def tell(self, at: int, turns: int = 6) -> str:
        """The turns that led to a place, to be read by somebody who looks for a fault."""
        begin = at
        for _ in range(turns):
            begin = self.cause(begin - 1) if begin > 0 else 0
        return "\n".join(_line(m) for m in self.moves[begin : at + 1])


def _line(move: Move) -> str:
    if isinstance(move, Came):
        if isinstance(move.event, Heard):
            best = move.event.recognition.hypotheses
            words = f"{best[0].text} ({best[0].confidence:.2f})" if best else "-"
            return f"> {words}"
        shown: Mapping[str, object] = move.event.model_dump(
            exclude={"procedure", "people", "bench", "at"}
        )
        return f"> {shown}"
    if isinstance(move, Said):
        return f"  {'' if move.whole else '[cut] '}{move.tone}: {move.text}"
    return f"      = {move.fact.model_dump(mode='json', exclude_defaults=True)} {move.fact.kind}"
