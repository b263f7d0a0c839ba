"""Fasteners that were turned by an angle: none may be turned by it twice.

Going back, or saying that one was missed, does not turn it back. So they are remembered through
all of that, until the builder has loosened them.
"""

from __future__ import annotations

from assistant.dialogue.kinds.tightening.wrench_setting import stage_at, tightening
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.tightening.stages import added, stages_of
from assistant.quantities.amount import Amount


def on(turn: Turn) -> tuple[str, ...]:
    """The fasteners of the open step that were turned on by an angle."""
    return turn.state.turned.get(turn.step.id, ())


def done_in(turn: Turn, pass_index: int, label: str) -> bool:
    """Whether a fastener was said to be turned in this very pass."""
    return (pass_index, label) in turn.state.turned_in.get(turn.step.id, ())


def note(turn: Turn, pass_index: int, label: str) -> None:
    """A fastener was done in a pass: remember a turn; loosening takes it back."""
    step = tightening(turn)
    stage = stage_at(step, pass_index)
    passes = turn.state.turned_in.get(step.id, ())
    if stage.loosen is not None:
        passes = tuple(p for p in passes if p[1] != label or p[0] >= pass_index)
        _put(turn, tuple(f for f in on(turn) if f != label), passes)
    elif stage.turn is not None and label not in on(turn):
        _put(turn, (*on(turn), label), passes)
    if (stage.turn or stage.loosen) is not None and (pass_index, label) not in passes:
        _put(turn, on(turn), (*passes, (pass_index, label)))


def _put(turn: Turn, labels: tuple[str, ...], passes: tuple[tuple[int, str], ...]) -> None:
    name = turn.step.id
    turn.put(
        turned={**turn.state.turned, name: labels},
        turned_in={**turn.state.turned_in, name: passes},
    )


def forget(turn: Turn) -> None:
    """All of them were loosened."""
    name = turn.step.id
    turn.put(
        turned={s: f for s, f in turn.state.turned.items() if s != name},
        turned_in={s: p for s, p in turn.state.turned_in.items() if s != name},
    )


def all_were(turn: Turn) -> bool:
    """Whether every fastener was turned in every pass that turns, since they were loosened."""
    step = tightening(turn)
    stages = stages_of(step)
    loosened = max((i for i, s in enumerate(stages) if s.loosen is not None), default=-1)
    turns = [i for i, s in enumerate(stages) if s.turn is not None and i > loosened]
    known = turn.state.turned_in.get(step.id, ())
    return bool(turns) and all((i, f) in known for i in turns for f in step.fasteners)


def loosen_words(turn: Turn) -> str:
    """Which fasteners are to be loosened before the step begins again, and how far they turned."""
    step = tightening(turn)
    by: dict[Amount, list[str]] = {}
    for label in on(turn):
        passes = sorted(p for p, f in turn.state.turned_in.get(step.id, ()) if f == label)
        turns = [t for p in passes if (t := stage_at(step, p).turn) is not None]
        whole = added(turns)
        if whole is not None:
            by.setdefault(whole, []).append(label)
    say = turn.context.language.say_amount
    groups = [
        turn.words("turned_by", angle=say(angle), labels=", ".join(labels))
        for angle, labels in by.items()
    ]
    return turn.words("loosen", turned="; ".join(groups))


def say_loosen(turn: Turn) -> None:
    """Have the fasteners that were turned loosened, and ask for it to be acknowledged."""
    turn.say_text(loosen_words(turn), tone="caution")
