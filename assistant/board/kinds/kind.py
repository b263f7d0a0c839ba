"""What the board needs to know of a step kind."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from typing import ClassVar, Generic, TypeVar

from assistant.board.view import BoardRow, FastenerMap, Limit, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.context import Context
from assistant.dialogue.facts import Fact
from assistant.dialogue.state import State
from assistant.dialogue.states import DialogueState
from assistant.procedure.step import Step

S = TypeVar("S", bound=Step)


@dataclass(frozen=True)
class Glance:
    """What every scene is made from."""

    context: Context
    state: State
    words: BoardWords

    @property
    def nothing_special(self) -> Scene:
        """The scene of a state in which a kind has nothing of its own to show."""
        return Scene(self.words("task_review"))


class KindBoard(ABC, Generic[S]):
    """One step kind on the board. ``awaiting`` is the state behind any interruption of it."""

    kind: ClassVar[str]

    @abstractmethod
    def scene(self, at: Glance, step: S, awaiting: DialogueState) -> Scene:
        """What the middle of the board shows, once the step's cautions are acknowledged."""

    def limits(self, at: Glance, step: S) -> tuple[Limit, ...]:
        """The limits beside the figure; most kinds have none."""
        return ()

    def rows(self, at: Glance, step: S, awaiting: DialogueState) -> tuple[BoardRow, ...]:
        """The readings of a step with several positions."""
        return ()

    def fasteners(self, at: Glance, step: S, awaiting: DialogueState) -> FastenerMap | None:
        """The map of the fasteners, where there are any."""
        return None

    def recorded(self, fact: Fact, words: BoardWords) -> str:
        """One of the kind's own facts in a few words; empty of one that nobody would look for."""
        return ""

    def idle(self, at: Glance, step: S, awaiting: DialogueState) -> frozenset[str]:
        """Commands that are listened for, but have nothing to take back just now."""
        return frozenset({"correction"})

    def names_on_show(self, awaiting: DialogueState) -> bool:
        """Whether the board shows the names that may be said, so that none need be offered."""
        return False
