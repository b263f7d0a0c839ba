"""Why there is nothing to show of a dimension over builds: no such step, place or value."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from assistant.report.model import BuildRecord


def why_none(records: Sequence[BuildRecord], procedure: str, step: str, position: str) -> str:
    """One sentence: what is missing, and what there is instead."""
    real = [r for r in records if not r.demo_clock]
    if not real:
        return f"There is no build of '{procedure}' in this store."
    if step not in {line.id for r in real for line in r.steps}:
        read = list(dict.fromkeys(line.step for r in real for line in r.counting()))
        return f"'{procedure}' has no step '{step}'.{_instead(step, read, 'Steps with values')}"
    lines = [line for r in real for line in r.counting() if line.step == step]
    places = list(dict.fromkeys(line.position for line in lines if line.position))
    if not lines:
        return f"No build of '{procedure}' has a value for '{step}' yet."
    if position and position not in places:
        return f"'{step}' has no position '{position}'.{_instead(position, places, 'Positions')}"
    if not position and places and all(line.position for line in lines):
        return f"'{step}' has several positions; name one with --position: {', '.join(places)}."
    where = f" at '{position}'" if position else ""
    return (
        f"No build of '{procedure}' has a single value for '{step}'{where}; "
        "what blades, plugs or rings tell is none."
    )


def _instead(wanted: str, known: list[str], what: str) -> str:
    near = get_close_matches(wanted, known, 1)
    if near:
        return f" Did you mean '{near[0]}'?"
    return f" {what}: {', '.join(known)}." if known else ""
