"""What is left in a box of shims: its set less what other steps of the session have fitted."""

from __future__ import annotations

from collections import Counter

from assistant.dialogue.gauging import tool_in_hand
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds.shims import ShimStep
from assistant.quantities.amount import Amount
from assistant.quantities.shims import ShimStock, without


def stock_left(turn: Turn, *choosing: ShimStep) -> list[ShimStock]:
    """What the steps that are ``choosing`` may take, all from the box of the first."""
    step = choosing[0]
    tool = tool_in_hand(turn.state, step.stock)
    if tool is not None:
        whole = list(tool.stock())
    else:
        counts: Counter[Amount] = Counter(turn.context.procedure.gauge(step.stock).members)
        whole = [ShimStock(size, count) for size, count in counts.items()]
    gone: list[Amount] = []
    box = box_of(turn, step)
    fitting = [s for s in turn.context.procedure.steps if isinstance(s, ShimStep)]
    # what another stack takes the place of is back in the box
    out = {s.present for s in fitting if s.id in turn.state.fitted}
    out |= {name for s in choosing for name in (s.present, s.id)}
    for other in fitting:
        if box_of(turn, other) == box and other.id not in out:
            gone += turn.state.fitted.get(other.id, ())
    return without(whole, gone)


def box_of(turn: Turn, step: ShimStep) -> str:
    """Which box the shims of a step come out of: another may stand for the one called for."""
    tool = tool_in_hand(turn.state, step.stock)
    return step.stock if tool is None else tool.id
