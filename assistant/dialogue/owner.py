"""Who answers for a dialogue state: the step kind whose own it is, or a part of the frame.

A state is plain data, so that it can be stored and compared. What may be said in it, what an answer
does, how it is asked again and what the stand-in builder says is asked of its owner. Owners are
found by the class of the state; ``kinds`` and ``frame`` each list theirs in one place.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, ClassVar, Generic, TypeVar

from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.context import Context
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import DialogueState
from assistant.dialogue.turn import Turn
from assistant.language.spec import Meaning, NumberSpec

D = TypeVar("D", bound=DialogueState)


@dataclass(frozen=True)
class MayBeSaid:
    """What makes sense in a dialogue state; everything else is not even listened for.

    ``go_back`` and ``skip``: the builder may leave the step from here, as far as the step lets
    itself be left. ``spoken_values``: phrases that are values. ``after_spelling``: what may follow
    a spelling in one breath.
    ``correct_earlier``: "correction" names the way back to a value that is
    recorded already. ``free``: any other speech is kept as it is.
    """

    commands: tuple[str, ...] = ()
    phrases: tuple[tuple[str, str], ...] = ()
    spoken_values: tuple[tuple[str, str], ...] = ()
    after_spelling: tuple[tuple[str, str], ...] = ()
    reading: NumberSpec | None = None
    digits: bool = False
    spelling: bool = False
    go_back: bool = False
    skip: bool = False
    correct_earlier: bool = False
    free: bool = False
    anytime: tuple[str, ...] = ANYTIME


@dataclass(frozen=True)
class Said:
    """What was understood: its meaning, and the very words.

    ``why_asked``: why the rule of trust asks first; empty where it takes the words as heard.
    """

    meaning: Meaning
    heard: str
    why_asked: str = ""


class StateOwner(ABC, Generic[D]):
    """What the states of one idea make of the world."""

    states: ClassVar[tuple[type[DialogueState], ...]]
    reads_phrases_back: ClassVar[bool] = False  # and awaits that they are right

    @abstractmethod
    def may_be_said(self, context: Context, state: State, at: D) -> MayBeSaid:
        """What the builder may say at ``at``, as narrow as it allows."""

    @abstractmethod
    def answer(self, turn: Turn, at: D, said: Said) -> bool:
        """Carry out what was said at ``at``; returns whether it means anything here.

        Leaving the step and correcting what is recorded already are the same everywhere, and not
        answered here.
        """

    @abstractmethod
    def ask_again(self, turn: Turn, at: D) -> None:
        """Say again what is awaited; nothing is recorded again."""

    @abstractmethod
    def next_line(self, builder: StandIn, at: D) -> str | None:
        """What an attentive builder says at ``at``; None: there is nothing to do but wait."""

    def called(self, at: D) -> str:
        """The place by which a command may have a name of its own (``named`` in commands.yaml)."""
        return ""

    def not_offered(self, context: Context, state: State, at: D) -> tuple[str, ...]:
        """Commands and phrases that are heard at ``at``, but do not count there."""
        return ()

    def only_waits(self, at: D) -> bool:
        """Whether there is nothing to do at ``at`` but wait for a timer."""
        return False

    def not_now(self, turn: Turn, at: D) -> bool:
        """Say what is to be done where what was said means nothing; tells whether it did."""
        return False

    def say_place(self, turn: Turn, at: D) -> None:
        """Where within the step the work is, behind the step's title; most states have no place."""

    def rested(self, at: D) -> DialogueState:
        """What ``at`` is after a rest: who was there may have left."""
        return at

    def other_bench(self, turn: Turn, at: D) -> None:
        """Another bench was taken during the rest."""

    def resumed(self, turn: Turn, at: D) -> None:
        """The work goes on after a rest."""
        turn.put(announced=None)  # whatever comes to be tightened, its wrench is looked at first
        self.ask_again(turn, at)


class KeepsSpeech(StateOwner[D]):
    """The owner of a state in which anything said is kept as it is, but for commands.

    ``what`` is kept: a "note" or a "reason".
    """

    what: ClassVar[str]

    def called(self, at: D) -> str:
        """What is kept has a command of its own to drop it."""
        return self.what

    def answer(self, turn: Turn, at: D, said: Said) -> bool:
        """No command is awaited but those that leave the state."""
        return False

    @abstractmethod
    def keep(self, turn: Turn, at: D, text: str, clip: str | None, seconds: float | None) -> None:
        """Keep what was typed (``text``), or spoken (the sound ``clip`` of ``seconds``)."""

    @abstractmethod
    def leave(self, turn: Turn, at: D) -> None:
        """The builder thinks better of it."""


_OWNERS: dict[type[DialogueState], StateOwner[Any]] = {}


def register(owners: Iterable[object]) -> None:
    """Have those of ``owners`` that own states answer for them.

    Raises:
        ValueError: a state has two owners.
    """
    for owner in owners:
        if not isinstance(owner, StateOwner):
            continue
        for state in owner.states:
            if state in _OWNERS:
                raise ValueError(f"{state.__name__} has two owners.")
            _OWNERS[state] = owner


def owner_of(awaiting: DialogueState) -> StateOwner[Any]:
    """Who answers for ``awaiting``."""
    return _OWNERS[type(awaiting)]


def taught(context: Context, awaiting: DialogueState, command: str) -> str:
    """The phrase for ``command`` that the assistant teaches at ``awaiting``."""
    return context.language.phrase_for(command, owner_of(awaiting).called(awaiting))


def all_states() -> tuple[type[DialogueState], ...]:
    """Every dialogue state that has an owner."""
    return tuple(_OWNERS)
