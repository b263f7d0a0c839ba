"""The keys that each part of a procedure file knows, and examples of their values."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel

from assistant.procedure.fields import SPOKEN_PATTERN
from assistant.procedure.kinds import BY_NAME, KINDS
from assistant.procedure.kinds.kind import StepKind
from assistant.procedure.listed import Applicability, Consumable, Gauge, GoverningDocument, Part
from assistant.procedure.models import Procedure
from assistant.procedure.step import Condition
from assistant.procedure.yaml_source import Loc
from assistant.quantities.bench import BenchTool, Member

_SECTIONS: dict[str, type[BaseModel]] = {
    "governing": GoverningDocument,
    "applicability": Applicability,
    "gauges": Gauge,
    "consumables": Consumable,
    "parts": Part,
    "tools": BenchTool,  # of a bench file
}

_OF_EVERY_STEP: dict[str, type[BaseModel]] = {"when": Condition}

LISTS_WITH_IDS = {
    key for kind in KINDS for key, model in kind.nested.items() if "id" in model.model_fields
}
"""Keys of steps that hold a list of things with ids."""

# By key, or by the part it is in and the key; each kind of step has more.
_EXAMPLES = {
    "id": "input_cap",
    "title": "Fit the bearing cap",
    "say": "Fit the cap with the arrow to the front.",
    "revision": "A",
    "date": "2026-03-01",
    "kind": "action",
    "unit": "thou",
    "resolution": "0.5 thou",
    "quantity": "end float",
    "name": "Feeler set",
}

# Words that a writer may reach for first, and the key that is meant; each kind has more.
_ALSO_KNOWN_AS = {
    "text": "say",
    "instruction": "say",
    "name": "title",
    "caution": "cautions",
    "warning": "cautions",
    "warnings": "cautions",
    "minimum": "lower",
    "min": "lower",
    "maximum": "upper",
    "max": "upper",
    "if": "when",
    "condition": "when",
    "requires": "after",
    "section": "reference",
    "manual": "governing",
    "tools": "gauges",
    "materials": "consumables",
}

PATTERNS = {
    r"^[a-z][a-z0-9_]*$": "use small letters, digits and underscores, starting with a letter",
    r"^[A-Z0-9]{1,8}$": "use one to eight capital letters or digits, such as C",
    r"^\d{4}-\d{2}-\d{2}$": "write the date as year-month-day, such as 2026-03-01",
    SPOKEN_PATTERN: "use one to five spoken words in small letters, such as 'standard'",
}


def keys_at(loc: Loc, data: Any) -> list[str]:
    """The keys allowed at ``loc``, so that a misspelt one can be corrected."""
    model = _model_at(loc, data)
    return [field.alias or name for name, field in model.model_fields.items()]


def example_at(loc: Loc, data: Any) -> str | None:
    """An example value for ``loc``; None when none is needed to see what is meant."""
    if not loc:
        return None
    kind = _kind_at(loc, data)
    known = _EXAMPLES if kind is None else {**_EXAMPLES, **kind.examples}
    return known.get(".".join(map(str, loc[-2:]))) or known.get(str(loc[-1]))


def meant_at(loc: Loc, data: Any) -> str | None:
    """The key that a writer means who wrote the last part of ``loc``."""
    kind = _kind_at(loc, data)
    known = _ALSO_KNOWN_AS if kind is None else {**_ALSO_KNOWN_AS, **kind.also_known_as}
    return known.get(str(loc[-1]))


def _kind_at(loc: Loc, data: Any) -> StepKind[Any] | None:
    if len(loc) < 2 or loc[0] != "steps":
        return None
    return BY_NAME.get(str(data["steps"][loc[1]].get("kind")))


def _model_at(loc: Loc, data: Any) -> type[BaseModel]:
    if not loc:
        return Procedure
    if loc[0] == "tools" and "members" in loc[2:-1]:
        return Member
    if loc[0] != "steps":
        return _SECTIONS.get(str(loc[0]), Procedure)
    kind = _kind_at(loc, data) or BY_NAME["action"]
    for key, model in {**_OF_EVERY_STEP, **kind.nested}.items():
        if key in loc[2:]:
            return model
    return kind.model
