"""Tool problems as the English sentences in which older sessions stored them."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from assistant.language import Language
from assistant.quantities.problem import Problem, Told
from assistant.yaml_data import yaml_data


def as_stored(problem: Told) -> str:
    """``problem`` as it was told when sentences were stored: with unit codes, not symbols."""
    if not isinstance(problem, Problem):
        return problem
    places = {name: as_stored(value) for name, value in problem.parameters.items()}
    template = _earlier().get(problem.code)
    if template is None:
        template = Language.load("en-US").sources.problems[problem.code]
    return str(template).format(**places)


@cache
def _earlier() -> dict[str, Any]:
    path = Path(__file__).parent / "earlier_sentences.yaml"
    found = yaml_data(path.read_text(encoding="utf-8"))
    assert isinstance(found, dict)
    return found
