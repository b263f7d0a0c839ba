"""The builder says "pass done": the fasteners that remain are named, and that is confirmed."""

from __future__ import annotations

from assistant.dialogue import steps
from assistant.dialogue.kinds.tightening import working
from assistant.dialogue.kinds.tightening.progress import all_done, moved_in_pass
from assistant.dialogue.kinds.tightening.reviewing import say_tightened
from assistant.dialogue.kinds.tightening.states import PassAsked, Tightening
from assistant.dialogue.kinds.tightening.wrench_setting import order, stage_at, tightening
from assistant.dialogue.labels import listed
from assistant.dialogue.turn import Turn


def ask(turn: Turn, at: Tightening | PassAsked) -> None:
    """Name the fasteners that this would mark as done, and ask."""
    step = tightening(turn)
    turn.known("may_say_pass_done")
    turn.go(PassAsked(at.pass_index, at.turn))
    turn.say(
        "pass_done_ask",
        tone="readback",
        labels=listed(order(step, at.pass_index)[at.turn :]),
        moved=turn.words("none_moved") if stage_at(step, at.pass_index).check is not None else "",
    )
    turn.ask("yes_no_ask")


def confirmed(turn: Turn, at: PassAsked) -> None:
    """The rest of the pass is done."""
    for place in range(at.turn, len(tightening(turn).fasteners)):
        working.mark_done(turn, at.pass_index, place, together=True)
    if turn.state.talk is not None and all_done(turn) and not moved_in_pass(turn):
        say_tightened(turn, aloud=False)  # all were named and confirmed just now
        steps.complete(turn)
    else:
        working.pass_ended(turn, at.pass_index)


def refused(turn: Turn, at: PassAsked) -> None:
    """The pass is not done: back to the fastener that is due."""
    turn.go(Tightening(at.pass_index, at.turn))
    working.ask_fastener(turn)
