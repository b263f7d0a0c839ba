"""Tightening steps: the torque announced and acknowledged, then fastener by fastener.

What stands tightened is one list in the state, pass by pass in the order of the pattern. The work
always goes on at the first fastener that is not in it, and "one was missed" takes the last one
out. So whatever comes between, no fastener is named twice in a pass without being reopened, none
is left out, and none is tightened before the wrench in hand was announced and acknowledged.
"""

from __future__ import annotations

from assistant.dialogue import tooling
from assistant.dialogue.facts import Acknowledged
from assistant.dialogue.kinds.tightening.announcing import (
    announcement,
    assumed,
    at_fastener,
    by_angle,
    order,
    pass_torque,
    setting,
    tightening,
    wanted,
    wrench,
)
from assistant.dialogue.kinds.tightening.facts import (
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
)
from assistant.dialogue.kinds.tightening.states import Loosening, Tightening, TorqueAcknowledge
from assistant.dialogue.state import Blocked, Review, Tightened
from assistant.dialogue.turn import Turn
from assistant.quantities.amount import Amount
from assistant.quantities.wrench import TighteningError


def begin(turn: Turn) -> None:
    """Begin with the first fastener that is not tightened; nothing is done twice.

    A step that was gone back to may have fasteners that were turned by angle: a bolt turned again
    is stretched too far, so those are loosened first.
    """
    if _turned(turn) and not turn.state.tightened:
        turn.go(Loosening())
        say_loosen(turn)
    elif len(turn.state.tightened) == _whole(turn):
        _review(turn)
    else:
        announce(turn)


def _turned(turn: Turn) -> tuple[str, ...]:
    return turn.state.turned.get(turn.step.id, ())


def _whole(turn: Turn) -> int:
    step = tightening(turn)
    return len(step.passes) * len(step.fasteners)


def _next(turn: Turn) -> tuple[int, int]:
    """Pass and place in its order of the first fastener that is not tightened."""
    return divmod(len(turn.state.tightened), len(tightening(turn).fasteners))


def loosen_words(turn: Turn) -> str:
    """Which fasteners are to be loosened before the step begins again."""
    step = tightening(turn)
    assert step.angle is not None
    return turn.words(
        "loosen",
        labels=", ".join(_turned(turn)),
        angle=turn.context.language.say_amount(step.angle),
    )


def say_loosen(turn: Turn) -> None:
    """Have the fasteners that were turned loosened, and ask for it to be acknowledged."""
    turn.say_text(loosen_words(turn), tone="caution")


def loosened(turn: Turn) -> None:
    """The fasteners that were turned are loose; the step begins."""
    turn.record(Acknowledged(step=turn.step.id, what=loosen_words(turn), of="loosening"))
    turn.put(turned={s: f for s, f in turn.state.turned.items() if s != turn.step.id})
    announce(turn)


def announce(turn: Turn) -> None:
    """Announce the pass that comes next; the wrench does not turn before it is acknowledged."""
    step = tightening(turn)
    index, place = _next(turn)
    tool = wrench(turn)
    now = setting(turn, index)
    turn.record(
        TorqueAnnounced(
            step=step.id,
            pass_number=index + 1,
            torque=now.torque,
            target=step.target,
            at_fastener=at_fastener(step, tool, index),
            wanted=wanted(step, tool, index),
            assumed=assumed(step, tool, index),
            thread=step.thread,
        )
    )
    turn.put(announced=now)
    at = TorqueAcknowledge(index, place)
    turn.go(at)
    say_announcement(turn, at)


def say_announcement(turn: Turn, at: TorqueAcknowledge) -> None:
    """Say what is to be set, and what was done in this pass already and is to be left alone."""
    done = order(tightening(turn))[: at.turn]
    if done:
        turn.say("leave_done", tone="caution", labels=", ".join(done))
    turn.say_text(announcement(turn, at.pass_index), tone="caution")


def set_otherwise(turn: Turn) -> bool:
    """Whether the wrench in hand is not set as announced, as after another bench was taken."""
    return turn.state.announced != setting(turn, _next(turn)[0])


def other_bench(turn: Turn) -> None:
    """Another bench was taken in mid-pass: its wrench has to be announced before it is used."""
    try:
        otherwise = set_otherwise(turn)
    except TighteningError:
        turn.go(Blocked())  # it cannot give the torque; why is said when the work goes on
        return
    if otherwise:
        turn.put(announced=None)
        turn.go(TorqueAcknowledge(*_next(turn)))


def acknowledge_torque(turn: Turn, at: TorqueAcknowledge) -> None:
    """The torque was understood: the pass begins, or goes on where it was left."""
    words = announcement(turn, at.pass_index, ask=False)
    turn.record(Acknowledged(step=turn.step.id, what=words, of="torque"))
    turn.go(Tightening(at.pass_index, at.turn))
    ask_fastener(turn)


def ask_fastener(turn: Turn) -> None:
    """Name the fastener to be tightened now."""
    at = turn.state.awaiting
    assert isinstance(at, Tightening)
    step = tightening(turn)
    label = order(step)[at.turn]
    if step.angle is not None and by_angle(step, at.pass_index):
        if label in _turned(turn):
            turn.say("turned_before", tone="caution", label=label)
        angle = turn.context.language.say_amount(step.angle)
        turn.say("fastener_turn", label=label, angle=angle)
    else:
        turn.say("fastener", label=label)


def tightened(turn: Turn, at: Tightening) -> None:
    """The present fastener is done; on to the next one, the next pass or the review."""
    step = tightening(turn)
    label = order(step)[at.turn]
    torque = pass_torque(step, wrench(turn), at.pass_index)
    given = at_fastener(step, wrench(turn), at.pass_index)
    turn.record(
        FastenerTightened(
            step=step.id,
            pass_number=at.pass_index + 1,
            fastener=label,
            torque=torque,
            at_fastener=given,
        )
    )
    done = Tightened(at.pass_index, label, torque, given)
    turn.put(tightened=(*turn.state.tightened, done))
    if by_angle(step, at.pass_index) and label not in _turned(turn):
        turn.put(turned={**turn.state.turned, step.id: (*_turned(turn), label)})
    if len(turn.state.tightened) == _whole(turn):
        _review(turn)
        return
    index, place = _next(turn)
    if index == at.pass_index:
        turn.go(Tightening(index, place))
        ask_fastener(turn)
    else:
        turn.say("pass_done", number=at.pass_index + 1)
        announce(turn)


def _review(turn: Turn) -> None:
    last = turn.state.tightened[-1]
    turn.go(Review(last.torque, last.at_fastener))
    say_review(turn)


def given(turn: Turn) -> tuple[Amount, ...]:
    """The torques that the fasteners got in the last pass: one, but for a change of wrench."""
    last = turn.state.tightened[-len(tightening(turn).fasteners) :]
    return tuple(dict.fromkeys(t.at_fastener or t.torque for t in last))


def say_review(turn: Turn) -> None:
    """Say to what torque everything was tightened, and ask to go on."""
    torques = [turn.context.language.say_amount(torque) for torque in given(turn)]
    turn.say(
        "review_tightening",
        count=len(tightening(turn).fasteners),
        torque=turn.words("and").join(torques),
    )


def missed(turn: Turn, at: Review | Tightening | TorqueAcknowledge) -> None:
    """The fastener before the present one was not done: go back to it."""
    step = tightening(turn)
    if not turn.state.tightened:
        turn.say("nothing_missed")
        if isinstance(at, Tightening):
            ask_fastener(turn)
        return
    *standing, back = turn.state.tightened
    turn.record(
        FastenerReopened(step=step.id, pass_number=back.pass_index + 1, fastener=back.fastener)
    )
    turn.put(tightened=tuple(standing))
    if turn.state.announced is None and tooling.blocked(turn):
        return  # resumed since, perhaps with another wrench
    if isinstance(at, TorqueAcknowledge) or set_otherwise(turn):
        # the wrench was, or is to be, set otherwise than for that pass
        turn.say("fastener_back", tone="caution", label=back.fastener)
        announce(turn)
        return
    turn.go(Tightening(*_next(turn)))
    turn.say(
        "fastener_again",
        tone="caution",
        label=back.fastener,
        torque=turn.context.language.say_amount(back.torque, digits=True),
    )
    if step.angle is not None and by_angle(step, back.pass_index):
        turn.say("turned_before", tone="caution", label=back.fastener)
        turn.say("then_angle", tone="caution", angle=turn.context.language.say_amount(step.angle))


def part_way(turn: Turn, reason: str) -> bool:
    """Whether the step is begun and not whole, so that its joint must not be relied on."""
    turned = set(_turned(turn))
    if len(turn.state.tightened) == _whole(turn):
        return False
    if reason == "already_done" and turned == set(tightening(turn).fasteners):
        return False  # gone back to, and found as it was left
    return bool(turn.state.tightened or turned)


def named_fastener(turn: Turn, at: Tightening, label: str) -> None:
    """A fastener was named: say whether it is the one whose turn it is."""
    due = order(tightening(turn))[at.turn]
    turn.say("fastener_right" if label == due else "fastener_not_due", said=label, due=due)
