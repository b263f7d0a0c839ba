"""Speaks a whole procedure once, without a bench: every sentence, step by step.

The stand-in builder answers with the middle of every limit and the first of every choice, so a
rehearsal shows one way through the procedure and proves that it has an end.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime

from assistant.dialogue.context import Context
from assistant.dialogue.core import advance
from assistant.dialogue.edition import EDITION
from assistant.dialogue.effects import Effect, Record, Say
from assistant.dialogue.events import AnyEvent, Heard, Opened, Person, TimerElapsed
from assistant.dialogue.facts import StepOpened
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.stand_in import Answers, StandInError
from assistant.dialogue.state import State
from assistant.dialogue.states import Ended
from assistant.language.hypothesis import typed
from assistant.procedure.models import Procedure
from assistant.session.stand_in import next_line

_MOST_TURNS = 3000
PEOPLE = (
    Person(name="Rehearsal Builder", initials="RB", role="builder"),
    Person(name="Rehearsal Inspector", initials="RI", role="inspector"),
)
"""Who takes part in a rehearsal."""
_AT = datetime(2026, 1, 1, tzinfo=UTC).isoformat()


class RehearsalError(ValueError):
    """The procedure cannot be spoken through; the message says where it stops.

    ``reached`` is what was spoken until then.
    """

    def __init__(self, message: str, reached: list[RehearsalScene]) -> None:
        super().__init__(message)
        self.reached = reached


@dataclass(frozen=True)
class RehearsalScene:
    """A step as it sounds: its title, and everything said until the next step opens."""

    title: str
    said: tuple[str, ...]

    @property
    def words(self) -> int:
        """How many words are spoken."""
        return sum(len(text.split()) for text in self.said)


def rehearse(
    context: Context, look: Callable[[State], None] = lambda state: None
) -> list[RehearsalScene]:
    """Speak the procedure through; the opening comes first.

    Args:
        look: called with every state in which the builder is listened to.

    Raises:
        RehearsalError: it does not come to its end.
    """
    procedure = _without_forms(context.procedure)
    context = Context(procedure, context.language, context.policy)
    answers = answers_for(context)
    scenes: list[tuple[str, list[str]]] = [("Opening", [])]
    opened = Opened(
        at=_AT,
        job="rehearsal",
        procedure_id=procedure.id,
        procedure_revision=procedure.revision,
        procedure_sha256="",
        procedure={},
        people=PEOPLE,
        phrases_asked=True,
        edition=EDITION,
        talk="new",
    )
    state = _play(context, State(), opened, scenes)
    now = _AT
    before: list[State] = []  # in the open step
    for _ in range(_MOST_TURNS):
        if isinstance(state.awaiting, Ended):
            return _as_scenes(scenes)
        if state in before:
            break  # the builder answers the same again, for ever
        before = [*before, state] if before and before[-1].step == state.step else [state]
        look(state)
        try:
            line = next_line(context, state, answers)
        except StandInError as fault:
            raise RehearsalError(str(fault), _as_scenes(scenes)) from None
        if line is not None:
            event: AnyEvent = Heard(at=now, recognition=typed(line))
        elif state.waits:
            step, until = min(state.waits.items(), key=lambda wait: wait[1])
            event = TimerElapsed(at=until, step=step)
            now = until
        else:
            break
        state = _play(context, state, event, scenes)
    raise RehearsalError(
        f"The procedure does not come to its end; it stops at '{state.step}'.", _as_scenes(scenes)
    )


def _as_scenes(scenes: list[tuple[str, list[str]]]) -> list[RehearsalScene]:
    return [RehearsalScene(title, tuple(said)) for title, said in scenes]


def _play(
    context: Context, state: State, event: AnyEvent, scenes: list[tuple[str, list[str]]]
) -> State:
    state, effects = advance(context, state, event)
    for effect in effects:
        _put(effect, scenes)
    return state


def _put(effect: Effect, scenes: list[tuple[str, list[str]]]) -> None:
    if isinstance(effect, Record) and isinstance(effect.fact, StepOpened):
        scenes.append((effect.fact.title, []))
    elif isinstance(effect, Say):
        scenes[-1][1].append(effect.text)


def _without_forms(procedure: Procedure) -> Procedure:
    plain = (kind_of(s).for_rehearsal(s) for s in procedure.steps)
    steps = tuple(s.model_copy(update={"picture": ""}) for s in plain)  # nobody takes one
    return procedure.model_copy(update={"steps": steps})


def answers_for(context: Context, inspector: str = PEOPLE[1].initials) -> Answers:
    """Plausible answers to all that the procedure asks: the middle of limits, the first choice."""
    applies = context.procedure.applicability
    answers = Answers(
        revision=context.procedure.governing.revision,
        variant=next(iter(applies.variants), ""),
        parts=next(iter(applies.parts), ""),
        inspector=inspector,
    )
    for step in context.procedure.steps:
        answers = kind_of(step).rehearsed(context, step, answers)
    return answers
