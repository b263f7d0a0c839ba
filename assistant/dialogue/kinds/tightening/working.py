"""Tightening steps: a pass announced and acknowledged, then fastener by fastener.

What stands tightened is one list in the state, pass by pass in the order of the pattern. The work
always goes on at the first fastener that is not in it, and "one was missed" takes the last one
out. So whatever comes between, no fastener is named twice in a pass without being reopened, none
is left out, and none is tightened before the wrench in hand was announced and acknowledged.
"""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue import steps, tooling
from assistant.dialogue.facts import Acknowledged
from assistant.dialogue.kinds.tightening import turned
from assistant.dialogue.kinds.tightening.announcing import (
    announcement,
    ask,
    assumed,
    at_fastener,
    order,
    pass_torque,
    setting,
    stage_at,
    tightening,
    turn_in,
    up_to,
    wanted,
    wrench,
)
from assistant.dialogue.kinds.tightening.facts import (
    CheckRepeated,
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
    TurnAnnounced,
)
from assistant.dialogue.kinds.tightening.states import (
    Loosening,
    PassAsked,
    Tightening,
    TorqueAcknowledge,
)
from assistant.dialogue.state import Tightened
from assistant.dialogue.states import Blocked, Review
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening.stages import (
    last_torque,
    stages_of,
    target_of,
    turn_of,
    work_of,
)
from assistant.quantities.amount import Amount
from assistant.quantities.wrench import TighteningError


def begin(turn: Turn) -> None:
    """Begin with the first fastener that is not tightened; nothing is done twice.

    A step that was gone back to may have fasteners that were turned by angle: a bolt turned again
    is stretched too far, so those are loosened first.
    """
    if turned.on(turn) and not turn.state.tightened:
        turn.go(Loosening())
        turned.say_loosen(turn)
    elif len(turn.state.tightened) == _whole(turn):
        _review(turn)
    else:
        announce(turn)


def _whole(turn: Turn) -> int:
    step = tightening(turn)
    return len(stages_of(step)) * len(step.fasteners)


def _next(turn: Turn) -> tuple[int, int]:
    """Pass and place in its order of the first fastener that is not tightened."""
    return divmod(len(turn.state.tightened), len(tightening(turn).fasteners))


def loosened(turn: Turn) -> None:
    """The fasteners that were turned are loose; the step begins."""
    turn.record(Acknowledged(step=turn.step.id, what=turned.loosen_words(turn), of="loosening"))
    turned.forget(turn)
    announce(turn)


def announce(turn: Turn) -> None:
    """Announce the pass that comes next; the wrench does not turn before it is acknowledged."""
    index, place = _next(turn)
    now = setting(turn, index)
    _record_announced(turn, index, now.torque)
    turn.put(announced=now)
    at = TorqueAcknowledge(index, place, by_angle=now.torque is None)
    turn.go(at)
    say_announcement(turn, at)


def _record_announced(turn: Turn, index: int, torque: Amount | None) -> None:
    step, tool = tightening(turn), wrench(turn)
    stage, by = stage_at(step, index), turn_in(step, index)
    if torque is None:
        assert by is not None
        turn.record(
            TurnAnnounced(
                step=step.id,
                pass_number=index + 1,
                turn=by,
                loosen=stage.loosen is not None,
                left_hand=step.left_hand,
            )
        )
        return
    turn.record(
        TorqueAnnounced(
            step=step.id,
            pass_number=index + 1,
            torque=torque,
            target=target_of(step),
            at_fastener=at_fastener(step, tool, index),
            wanted=wanted(step, tool, index),
            assumed=assumed(step, tool, index),
            thread=step.thread,
            check=stage.check is not None,
            minimum=stage.minimum or stage.up_to is not None,
            up_to=up_to(step, tool, index),
            left_hand=step.left_hand,
        )
    )


def say_announcement(turn: Turn, at: TorqueAcknowledge) -> None:
    """Say what is to be set, and what was done in this pass already and is to be left alone."""
    done = order(tightening(turn), at.pass_index)[: at.turn]
    if done:
        turn.say("leave_done", tone="caution", labels=", ".join(done))
    turn.say_text(announcement(turn, at.pass_index), tone="caution")
    ask(turn, at.pass_index)


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
        index, place = _next(turn)
        turn.go(TorqueAcknowledge(index, place, setting(turn, index).torque is None))


def acknowledge_torque(turn: Turn, at: TorqueAcknowledge) -> None:
    """The torque was understood: the pass begins, or goes on where it was left."""
    words = announcement(turn, at.pass_index)
    turn.record(Acknowledged(step=turn.step.id, what=words, of="torque"))
    turn.go(Tightening(at.pass_index, at.turn))
    ask_fastener(turn)


def ask_fastener(turn: Turn) -> None:
    """Name the fastener to be tightened now."""
    at = turn.state.awaiting
    assert isinstance(at, Tightening)
    step = tightening(turn)
    label = order(step, at.pass_index)[at.turn]
    by = turn_in(step, at.pass_index)
    if by is not None and turned.done_in(turn, at.pass_index, label):
        turn.say("turned_before", tone="caution", label=label)
    angle = "" if by is None else turn.context.language.say_amount(by)
    stage = stage_at(step, at.pass_index)
    match work_of(stage):
        case "torque":
            key = "fastener" if stage.turn is None else "fastener_turn"
        case "turn":
            key = "fastener_only_turn"
        case "loosen":
            key = "fastener_loosen"
        case "check":
            key = "fastener_check"
        case other:
            assert_never(other)
    turn.say(key, label=label, angle=angle)


def tightened(turn: Turn, at: Tightening, moved: bool = False) -> None:
    """The present fastener is done; on to the next one, the next pass or the review."""
    _done(turn, at.pass_index, at.turn, moved=moved)
    index, place = _next(turn)
    if index == at.pass_index:
        turn.go(Tightening(index, place))
        ask_fastener(turn)
    else:
        _pass_ended(turn, at.pass_index)


def _done(
    turn: Turn, pass_index: int, place: int, moved: bool = False, together: bool = False
) -> None:
    """Record a fastener that is done in its pass."""
    step = tightening(turn)
    stage = stage_at(step, pass_index)
    label = order(step, pass_index)[place]
    torque = pass_torque(step, wrench(turn), pass_index)
    given = at_fastener(step, wrench(turn), pass_index)
    turn.record(
        FastenerTightened(
            step=step.id,
            pass_number=pass_index + 1,
            fastener=label,
            torque=torque,
            at_fastener=given,
            turn=turn_in(step, pass_index),
            loosened=stage.loosen is not None,
            moved=moved if stage.check is not None else None,
            together=together,
        )
    )
    done = Tightened(pass_index, label, torque, given, moved)
    turn.put(tightened=(*turn.state.tightened, done))
    turned.note(turn, pass_index, label)


def _pass_ended(turn: Turn, pass_index: int) -> None:
    """All fasteners of a pass are done: check once more where one moved; else go on."""
    step = tightening(turn)
    standing = turn.state.tightened
    if moved := _moved(turn):
        turn.record(CheckRepeated(step=step.id, pass_number=pass_index + 1, moved=moved))
        turn.put(tightened=standing[: -len(step.fasteners)])
        turn.say("check_again", tone="caution", labels=", ".join(moved))
        announce(turn)
    elif len(standing) == _whole(turn):
        _review(turn)
    else:
        turn.show("pass_done", number=pass_index + 1)
        announce(turn)


def _moved(turn: Turn) -> tuple[str, ...]:
    """The fasteners that moved in the pass that was done last."""
    standing = turn.state.tightened[-len(tightening(turn).fasteners) :]
    return tuple(done.fastener for done in standing if done.moved)


def ask_whole_pass(turn: Turn, at: Tightening | PassAsked) -> None:
    """The pass was said to be done: name the fasteners that this takes in, and ask."""
    step = tightening(turn)
    turn.go(PassAsked(at.pass_index, at.turn))
    turn.say(
        "pass_done_ask",
        tone="readback",
        labels=", ".join(order(step, at.pass_index)[at.turn :]),
        moved=turn.words("none_moved") if stage_at(step, at.pass_index).check is not None else "",
    )
    turn.ask("yes_no_ask")


def whole_pass(turn: Turn, at: PassAsked) -> None:
    """The rest of the pass is done."""
    for place in range(at.turn, len(tightening(turn).fasteners)):
        _done(turn, at.pass_index, place, together=True)
    whole = len(turn.state.tightened) == _whole(turn)
    if turn.state.talk is not None and whole and not _moved(turn):
        _say_tightened(turn)  # all were named and confirmed: what the review would ask again
        steps.complete(turn)
    else:
        _pass_ended(turn, at.pass_index)


def not_whole_pass(turn: Turn, at: PassAsked) -> None:
    """The pass is not done: back to the fastener that is due."""
    turn.go(Tightening(at.pass_index, at.turn))
    ask_fastener(turn)


def _review(turn: Turn) -> None:
    last = turn.state.tightened[-1]
    turn.go(Review(last.torque, last.at_fastener))
    say_review(turn)


def given(turn: Turn) -> tuple[Amount, ...]:
    """The torques that the fasteners got at last: one, but for a change of wrench."""
    final = last_torque(tightening(turn))
    torques = [t for t in turn.state.tightened if t.pass_index == final and t.torque is not None]
    return tuple(dict.fromkeys(t.at_fastener or t.torque for t in torques if t.torque is not None))


def say_review(turn: Turn) -> None:
    """Say to what torque everything was tightened, and ask to go on."""
    _say_tightened(turn)
    turn.ask("review_tightening_ask", tone="plain")


def _say_tightened(turn: Turn) -> None:
    step = tightening(turn)
    say = turn.context.language.say_amount
    by = turn_of(step)
    checked = stage_at(step, len(stages_of(step)) - 1).check is not None
    key = "review_tightening" if by is None else "review_turned"
    turn.say(
        "review_checked" if checked else key,
        count=len(step.fasteners),
        torque=turn.words("and").join(map(say, given(turn))),
        angle="" if by is None else say(by),
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
        turn.say("fastener_again", tone="caution", label=label, torque=set_to)
    stage = stage_at(tightening(turn), back.pass_index)
    by = turn_in(tightening(turn), back.pass_index)
    if by is None:
        return
    turn.say("turned_before", tone="caution", label=label)
    key = "then_angle" if torque is not None else "fastener_only_turn"
    key = "fastener_loosen" if stage.loosen is not None else key
    turn.say(key, tone="caution", label=label, angle=say(by))


def part_way(turn: Turn, reason: str) -> bool:
    """Whether the step is begun and not whole, so that its joint must not be relied on."""
    if len(turn.state.tightened) == _whole(turn):
        return False
    if reason == "already_done" and turned.all_were(turn):
        return False  # gone back to, and found as it was left
    return bool(turn.state.tightened or turned.on(turn))


def named_fastener(turn: Turn, at: Tightening, label: str) -> None:
    """A fastener was named: say whether it is the one whose turn it is."""
    due = order(tightening(turn), at.pass_index)[at.turn]
    turn.say("fastener_right" if label == due else "fastener_not_due", said=label, due=due)
