"""The keys that each part of a procedure file knows, and examples of their values."""

from __future__ import annotations

from typing import Any, get_args

from pydantic import BaseModel

from assistant.procedure.models import (
    SPOKEN_PATTERN,
    ActionStep,
    Applicability,
    Bolt,
    CautionStep,
    ChoiceStep,
    Condition,
    Consumable,
    DerivedStep,
    Gauge,
    GoverningDocument,
    IdentificationStep,
    InspectionStep,
    MeasurementStep,
    Option,
    Part,
    Procedure,
    ShimStep,
    TighteningStep,
    WaitStep,
    WrenchAdapter,
)
from assistant.procedure.yaml_source import Loc

STEP_MODELS: dict[str, type[BaseModel]] = {
    get_args(model.model_fields["kind"].annotation)[0]: model
    for model in (
        CautionStep,
        ActionStep,
        MeasurementStep,
        DerivedStep,
        ShimStep,
        TighteningStep,
        IdentificationStep,
        ChoiceStep,
        WaitStep,
        InspectionStep,
    )
}
STEP_KINDS = tuple(STEP_MODELS)

_SECTIONS: dict[str, type[BaseModel]] = {
    "governing": GoverningDocument,
    "applicability": Applicability,
    "gauges": Gauge,
    "consumables": Consumable,
    "parts": Part,
}

_NESTED: dict[str, type[BaseModel]] = {
    "when": Condition,
    "options": Option,
    "adapter": WrenchAdapter,
    "bolt": Bolt,
}

# By key, or by the part it stands in and the key where one key means two things.
EXAMPLES = {
    "id": "input_cap",
    "title": "Fit the bearing cap",
    "say": "Fit the cap with the arrow to the front.",
    "revision": "A",
    "date": "2026-03-01",
    "kind": "action",
    "unit": "thou",
    "resolution": "0.5 thou",
    "target": "14 lbf*ft",
    "duration": "30 min",
    "quantity": "end float",
    "formula": "bore - journal",
    "thread": "dry",
    "bolt.thread": "M8",
    "grade": "8.8",
    "length": "400 mm",
    "extension": "50 mm",
    "angle": "90 deg",
    "gap": "cap_gap",
    "stock": "shim_set",
    "what": "serial",
    "criteria": "All bolts marked",
    "name": "Feeler set",
}

# Words that a writer may reach for first, and the key that is meant.
ALSO_KNOWN_AS = {
    "torque": "target",
    "bolts": "fasteners",
    "screws": "fasteners",
    "wrench": "tool",
    "oil": "lubricant",
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
    "places": "positions",
    "instrument": "gauge",
    "time": "duration",
    "if": "when",
    "condition": "when",
    "requires": "after",
    "section": "reference",
    "answers": "options",
    "manual": "governing",
    "tools": "gauges",
    "materials": "consumables",
    "crowfoot": "adapter",
    "drag": "prevailing",
    "running_torque": "prevailing",
    "shims": "stock",
    "class": "grade",
    "size": "thread",
}

PATTERNS = {
    r"^[a-z][a-z0-9_]*$": "use small letters, digits and underscores, starting with a letter",
    r"^[A-Z0-9]{1,8}$": "use one to eight capital letters or digits, such as C",
    r"^\d{4}-\d{2}-\d{2}$": "write the date as year-month-day, such as 2026-03-01",
    SPOKEN_PATTERN: "use one to five spoken words in small letters, such as 'standard'",
}


def keys_at(loc: Loc, data: Any) -> list[str]:
    """The keys that may stand at ``loc``, so that a misspelt one can be set right."""
    model = _model_at(loc, data)
    return list(model.model_fields)


def _model_at(loc: Loc, data: Any) -> type[BaseModel]:
    if not loc:
        return Procedure
    if loc[0] != "steps":
        return _SECTIONS.get(str(loc[0]), Procedure)
    for key, model in _NESTED.items():
        if key in loc[2:]:
            return model
    return STEP_MODELS.get(str(data["steps"][loc[1]].get("kind")), ActionStep)
