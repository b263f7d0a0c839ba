"""Tightening on the board: the torque of the pass, and the fastener that is due."""

from __future__ import annotations

from typing import assert_never

from assistant.board.figures import amount_text, number
from assistant.board.kinds.kind import Glance, KindBoard
from assistant.board.kinds.tightening.ring import Progress, fastener_map
from assistant.board.view import FastenerMap, Figure, Line, Scene
from assistant.board.words import BoardWords
from assistant.dialogue.facts import Fact
from assistant.dialogue.gauging import wrench_in_hand
from assistant.dialogue.kinds.tightening.facts import FastenerReopened, FastenerTightened
from assistant.dialogue.kinds.tightening.states import (
    Loosening,
    PassAsked,
    Tightening,
    TorqueAcknowledge,
)
from assistant.dialogue.kinds.tightening.wrench_setting import (
    at_fastener,
    order,
    pass_torque,
    stage_at,
    turn_in,
    up_to,
    wanted,
)
from assistant.dialogue.states import DialogueState, Review
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.tightening.stages import Work, stages_of, work_of
from assistant.quantities.amount import Amount
from assistant.quantities.symbols import symbol

Own = TorqueAcknowledge | Tightening | PassAsked | Review | Loosening


class TighteningBoard(KindBoard[TighteningStep]):
    """Passes over a pattern of fasteners."""

    kind = "tightening"

    def scene(self, at: Glance, step: TighteningStep, awaiting: DialogueState) -> Scene:
        """The very torque that the dialogue announces, and whose turn it is."""
        if not isinstance(awaiting, Own):
            return at.nothing_special
        words = at.words
        match awaiting:
            case TorqueAcknowledge(pass_index=index):
                return _announced(at, step, index)
            case Tightening(pass_index=index, turn=turn):
                figure, lines = _pass(at, step, index)
                task = words(_TASKS[work_of(stage_at(step, index))], label=order(step, index)[turn])
                return Scene(task, lines=lines, figure=figure)
            case PassAsked(pass_index=index, turn=turn):
                labels = Line("", ", ".join(order(step, index)[turn:]))
                return Scene(words("task_whole_pass", number=index + 1), lines=(labels,))
            case Review():
                figure, lines = _pass(at, step, len(stages_of(step)) - 1, awaiting)
                return Scene(words("task_review_tight"), lines=lines, figure=figure)
            case Loosening():
                labels = Line("", ", ".join(at.state.turned.get(step.id, ())))
                return Scene(words("task_loosen"), "caution", words("band_caution"), (labels,))
            case _:
                assert_never(awaiting)

    def fasteners(
        self, at: Glance, step: TighteningStep, awaiting: DialogueState
    ) -> FastenerMap | None:
        """The map of the fasteners as it is now.

        Progress follows from the state alone, so that a resumed session and a fastener reopened
        by the builder show exactly what the dialogue believes.
        """
        if not isinstance(awaiting, Own):
            return fastener_map(step, Progress(0, 0, False), at.words)
        match awaiting:
            case Tightening(pass_index=index, turn=turn):
                progress = Progress(index, turn, True)
            case PassAsked(pass_index=index, turn=turn):
                progress = Progress(index, turn, False)
            case TorqueAcknowledge(pass_index=index, turn=turn):
                progress = Progress(index, turn, False)
            case Review():
                progress = Progress(len(stages_of(step)), 0, False)
            case Loosening():
                turned = at.state.turned.get(step.id, ())
                progress = Progress(0, 0, False, turned)
            case _:
                assert_never(awaiting)
        return fastener_map(step, progress, at.words)

    def idle(self, at: Glance, step: TighteningStep, awaiting: DialogueState) -> frozenset[str]:
        """A fastener that was tightened may have been missed."""
        return frozenset() if at.state.tightened else frozenset({"missed", "correction"})

    def names_on_show(self, awaiting: DialogueState) -> bool:
        """Fasteners are on the map; they may be named, but need not be."""
        return isinstance(awaiting, Tightening | Review)

    def recorded(self, fact: Fact, words: BoardWords) -> str:
        """A fastener that was tightened, or is open again."""
        if isinstance(fact, FastenerReopened):
            return words("record_void", what=fact.fastener)
        if not isinstance(fact, FastenerTightened):
            return ""
        done = [amount_text(fact.torque)] if fact.torque is not None else []
        done += [amount_text(fact.turn)] if fact.turn is not None else []
        return words(
            "record_loosened" if fact.loosened else "record_fastener",
            label=fact.fastener,
            torque=", ".join(done),
            number=fact.pass_number,
        )


_TASKS: dict[Work, str] = {
    "torque": "task_tighten", "turn": "task_turn", "loosen": "task_loosen_one",
    "check": "task_check",
}  # fmt: skip


def _announced(at: Glance, step: TighteningStep, index: int) -> Scene:
    """The pass that was announced, to be acknowledged."""
    words = at.words
    figure, lines = _pass(at, step, index)
    match work_of(stage_at(step, index)):
        case "torque" | "check":
            tool = wrench_in_hand(at.context.procedure, at.state, step.tool)
            task, band = words("task_torque", tool=tool.name), words(f"band_{tool.kind}")
        case "turn":
            task, band = words("task_turn_pass"), words("band_turn")
        case "loosen":
            task, band = words("task_loosen_pass"), words("band_loosen")
        case other:
            assert_never(other)
    return Scene(task, "caution", band, lines, figure)


def _pass(
    at: Glance, step: TighteningStep, index: int, done: Review | None = None
) -> tuple[Figure, tuple[Line, ...]]:
    """The figure and the small print of a pass; as it was set, where it is ``done``."""
    words, total = at.words, len(stages_of(step))
    tool = wrench_in_hand(at.context.procedure, at.state, step.tool)
    torque = done.torque if done is not None else None
    if torque is None:
        torque = pass_torque(step, tool, index)
    lines = [Line(words("line_hand"), words("left_hand"))] if step.left_hand else []
    lines += [Line(words("line_check"), words("check_none"))] if _checks(step, index) else []
    by = turn_in(step, index)
    if torque is None:
        assert by is not None
        label = words("figure_turn_pass", number=index + 1, total=total)
        return Figure(label, number(by), symbol(by.unit)), tuple(lines)
    label = (
        words(
            "figure_torque_pass", what=words(f"figure_{tool.kind}"), number=index + 1, total=total
        )
        if total > 1
        else words(f"figure_{tool.kind}")
    )
    names = {c.id: c.name for c in at.context.procedure.consumables}
    thread = words("thread_" + step.thread, lubricant=names.get(step.lubricant or "", ""))
    if step.locker is not None:
        thread = words("thread_locker", locker=names.get(step.locker, step.locker))
    lines.append(Line(words("line_thread"), thread))
    real = at_fastener(step, tool, index) if done is None else done.at_fastener
    asked = wanted(step, tool, index) if done is None else None
    if asked is not None:
        lines.append(Line(words("line_wanted"), amount_text(asked)))
    if real is not None:
        lines.append(Line(words("line_at_fastener"), amount_text(real)))
    if by is not None:
        lines.append(Line(words("line_turn"), amount_text(by)))
    lines += _least(words, step, index, up_to(step, tool, index))
    return Figure(label, number(torque), symbol(torque.unit)), tuple(lines)


def _checks(step: TighteningStep, index: int) -> bool:
    return work_of(stage_at(step, index)) == "check"


def _least(words: BoardWords, step: TighteningStep, index: int, most: Amount | None) -> list[Line]:
    if most is not None:
        return [Line(words("line_up_to"), amount_text(most))]
    return [Line(words("line_least"), words("least"))] if stage_at(step, index).minimum else []
