"""A fastener that was missed: the one done last is done again."""

from __future__ import annotations

from assistant.dialogue import tooling
from assistant.dialogue.effects import TORQUE
from assistant.dialogue.kinds.tightening import announcing, passes, working
from assistant.dialogue.kinds.tightening.facts import FastenerReopened
from assistant.dialogue.kinds.tightening.progress import next_place
from assistant.dialogue.kinds.tightening.states import Tightening, TorqueAcknowledge
from assistant.dialogue.kinds.tightening.wrench_setting import (
    setting,
    stage_at,
    tightening,
    turn_in,
    wrench,
)
from assistant.dialogue.state import Tightened
from assistant.dialogue.states import Review
from assistant.dialogue.turn import Turn


def missed(turn: Turn, at: Review | Tightening | TorqueAcknowledge) -> None:
    """The fastener before the present one was not done: go back to it."""
    step = tightening(turn)
    if not turn.state.tightened:
        turn.say("nothing_missed")
        if isinstance(at, Tightening):
            working.ask_fastener(turn)
        elif isinstance(at, TorqueAcknowledge):
            announcing.ask(turn, at.pass_index)
        return
    *standing, back = turn.state.tightened
    turn.record(
        FastenerReopened(step=step.id, pass_number=back.pass_index + 1, fastener=back.fastener)
    )
    turn.put(tightened=tuple(standing))
    if turn.state.announced is None and tooling.blocked(turn):
        return  # resumed since, perhaps with another wrench
    if isinstance(at, TorqueAcknowledge) or passes.set_otherwise(turn):
        # the wrench was, or is to be, set otherwise than for that pass
        turn.say("fastener_back", tone="caution", label=back.fastener)
        passes.announce(turn)
        return
    turn.go(Tightening(*next_place(turn)))
    _say_again(turn, back)


def _say_again(turn: Turn, back: Tightened) -> None:
    """Name a fastener that is to be done again, with its torque and its turn.

    The torque is the one set now: it may have been tightened with another wrench before.
    """
    say, label = turn.context.language.say_amount, back.fastener
    torque = setting(turn, back.pass_index).torque
    if torque is None:
        turn.say("fastener_back", tone="caution", label=label)
    else:
        set_to = say(torque, digits=True)
        what = turn.words("set_" + wrench(turn).kind)
        turn.say(
            "fastener_again", tone="caution", about=TORQUE, label=label, what=what, torque=set_to
        )
    stage = stage_at(tightening(turn), back.pass_index)
    by = turn_in(tightening(turn), back.pass_index)
    if by is None:
        return
    turn.say(working.done_before(stage), tone="caution", label=label)
    key = "then_angle" if torque is not None else "fastener_only_turn"
    key = "fastener_loosen" if stage.loosen is not None else key
    turn.say(key, tone="caution", label=label, angle=say(by))
