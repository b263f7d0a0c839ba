"""Runout from a few stops of one turn: what largest less smallest misses, and the exact form."""

from __future__ import annotations

import re
from math import cos, pi

from assistant.procedure.finding import Findings
from assistant.procedure.kinds.derived.model import DerivedStep
from assistant.procedure.places import reference
from assistant.procedure.step import LimitedStep

_RUNOUT = re.compile(
    r"\brun[ -]?out\b|\beccentric|\btotal indicator\b|\bTIR\b|\bfull indicator\b|흔들림|런아웃",
    re.IGNORECASE,
)
_SHARE = 0.95  # from this part of the movement on nothing is said


def check_runout(findings: Findings, step: DerivedStep) -> None:
    """Warn where runout is computed as the range of a few readings round one turn."""
    known = {s.id: s for s in findings.procedure.steps}
    sources = {name: known.get(reference(s).step) for name, s in step.inputs.items()}
    named = [step.quantity, step.title]
    for source in sources.values():
        named += [source.quantity, source.title] if isinstance(source, LimitedStep) else []
    if not any(_RUNOUT.search(words) for words in named):
        return
    stops = [
        len(s.places_in(findings.procedure))
        for s in sources.values()
        if isinstance(s, LimitedStep) and step.combine == "range" and not step.each
    ]
    stops = [count for count in stops if count > 1]
    if not stops and re.fullmatch(r"\s*max\(.*\)\s*-\s*min\(.*\)\s*", step.formula):
        stops = [len(sources)] if len(sources) > 1 else []
    for count in stops:
        # an off-centre part moves as a cosine; its ends may lie half a step beside the stops
        least = cos(pi / count) if count % 2 == 0 else cos(pi / (2 * count)) ** 2
        if least >= _SHARE:
            continue
        exact = (
            "'combine: quarter_turns' (hypot(a - c, b - d)) is exact for a round part off centre; "
            "else turn the part"
            if count == 4
            else "turn the part"
        )
        findings.warn(
            step,
            f"Largest less smallest of {count} readings round a turn is not the total indicator "
            f"reading: it may be {round(100 * (1 - least))} % less; {exact} once round and read "
            "it whole.",
            "combine" if step.combine == "range" else "formula",
        )
