"""The last screen: how many steps are done, and everything that departs from the manual."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from assistant.board.kinds.kind import Glance
from assistant.board.plain import short
from assistant.board.view import Figure, Line, Scene


def closed(at: Glance, scene: Scene) -> Scene:
    """``scene`` with the count of the steps done, and what was skipped or let stand."""
    state, words = at.state, at.words
    steps = at.context.procedure.steps
    apply = [s for s in steps if state.outcomes.get(s.id) != "not_applicable"]
    done = sum(1 for s in apply if state.outcomes.get(s.id) == "done")
    skipped = [s.id for s in steps if state.outcomes.get(s.id) == "skipped"]
    referred = [s for s, positions in state.referred.items() if positions]
    let_stand = [s for s, positions in state.released.items() if positions and s not in referred]
    listed = [
        (words("line_part_way"), [s for s in skipped if s in state.part_way]),
        (words("line_skipped"), [s for s in skipped if s not in state.part_way]),
        (words("line_let_stand"), let_stand),
        (words("line_referred"), referred),
    ]
    lines = tuple(Line(label, _titles(at, ids)) for label, ids in listed if ids)
    figure = Figure(words("figure_closed"), words("count", number=done, total=len(apply)))
    if not lines and scene.alarm == "finished":
        lines = (Line("", words("finished_clean")),)
    return replace(scene, lines=lines, figure=figure)


def _titles(at: Glance, ids: Iterable[str]) -> str:
    return ", ".join(short(at.context.procedure.step(one).title) for one in ids)
