"""What the kinds have in common whose values are judged against limits."""

from __future__ import annotations

from abc import abstractmethod
from dataclasses import replace
from typing import Literal, TypeVar, assert_never

from assistant.board.figures import limit_lines
from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.plain import short
from assistant.board.view import Figure, Limit, Line, Scene
from assistant.dialogue import adjusting
from assistant.dialogue.kinds.judged import judged
from assistant.dialogue.states import DialogueState, DispositionReason, OutOfLimit, Release, Review
from assistant.dialogue.turn import Turn
from assistant.procedure.adjusting import AdjustableStep
from assistant.procedure.step import LimitedStep

L = TypeVar("L", bound=LimitedStep)
Held = OutOfLimit | DispositionReason | Release


class JudgedBoard(KindBoard[L]):
    """A value that may be out of limits, be held, and be released by a second person."""

    @abstractmethod
    def found(self, at: Glance, step: L, index: int) -> Figure | None:
        """The present value at position ``index``; None when it has none."""

    @abstractmethod
    def undecided(self, at: Glance, step: L, index: int) -> bool:
        """Whether that value is too close to a limit to call."""

    @abstractmethod
    def single(self, at: Glance, step: L) -> bool:
        """Whether the step has one value, which a review shows as the figure."""

    def limits(self, at: Glance, step: L) -> tuple[Limit, ...]:
        """The limits exactly as the procedure states them."""
        return limit_lines(step.limits, at.words)

    def idle(self, at: Glance, step: L, awaiting: DialogueState) -> frozenset[str]:
        """A value that is there can be taken back."""
        there = isinstance(awaiting, Held | Review)
        return frozenset() if there else super().idle(at, step, awaiting)

    def scene(self, at: Glance, step: L, awaiting: DialogueState) -> Scene:
        """Out of limits, its disposition, its release; else the review of what is there."""
        if isinstance(awaiting, Held):
            return self._held(at, step, awaiting)
        return self._review(at, step)

    def _held(self, at: Glance, step: L, held: Held) -> Scene:
        words, found = at.words, self.found(at, step, held.index)
        band = words("band_undecided" if self.undecided(at, step, held.index) else "band_out")
        match held:
            case OutOfLimit(index=index):
                return Scene(words("task_out"), "out", band, self._remedy(at, step, index), found)
            case DispositionReason(disposition=disposition):
                task = words("task_reason", disposition=words("disposition_" + disposition))
                return Scene(task, "out", band, (), found)
            case Release(disposition=disposition, reason=reason, person=person):
                release = words("task_release", disposition=words("disposition_" + disposition))
                task = words("task_decide", person=short(person)) if person else release
                lines = (Line(words("line_reason"), reason),) if reason else ()
                return Scene(task, "hold", words("band_release"), lines, found)
            case _:
                assert_never(held)

    def _remedy(self, at: Glance, step: L, index: int) -> tuple[Line, ...]:
        """What the procedure says is to be adjusted."""
        turn = Turn(at.context, at.state, at="")  # only asked: nothing is collected
        if not isinstance(step, AdjustableStep) or not step.adjustable:
            return ()
        kind = judged(step)
        position = kind.position(at.context.procedure, step, index)
        found = adjusting.remedy(step, kind.value_out(turn, step, position))
        return () if found is None else (Line(at.words("line_adjust"), found.say),)

    def _review(self, at: Glance, step: L) -> Scene:
        shown = self.found(at, step, 0) if self.single(at, step) else None
        if shown is not None:
            judged = at.words("verdict_" + _mark(at, step))
            label = at.words("figure_judged", label=shown.label, verdict=judged)
            shown = replace(shown, label=label)
        return Scene(at.words("task_review"), figure=shown)


def _mark(at: Glance, step: LimitedStep) -> Literal["released", "no_limit", "in"]:
    """The verdict on a step's single value; past review it is in limits or released."""
    if "" in at.state.released.get(step.id, ()):
        return "released"
    return "no_limit" if step.limits.none else "in"
