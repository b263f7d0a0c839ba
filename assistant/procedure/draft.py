"""A step of a starter procedure while it is written, and the lists that it adds to."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from assistant.procedure.guess import fit, limits

_READS = {
    "degC": "thermometer", "degF": "thermometer", "deg": "angle_gauge", "N": "spring_scale",
    "lbf": "spring_scale", "N*m": "torque_wrench", "cN*m": "torque_driver",
}  # fmt: skip
"""What reads a unit; a length is read by many."""


_SPEAKS_OF = tuple(
    (re.compile(rf"\b({words})\b", re.I), unit)
    for words, unit in (
        ("temperatures?|thermometer", "degC"),
        ("pressure", "bar"),
        ("speed|tachometer", "rpm"),
        ("pull|spring scale", "N"),
        ("turning torque", "N*m"),
        ("weight|mass|weigh", "kg"),
    )
)


@dataclass
class StepDraft:
    """``step`` as it will stand in the file, from the ``cells`` of its row.

    ``gauges`` and ``parts`` are those of the whole procedure, by id.
    """

    step: dict[str, Any]
    cells: Mapping[str, str]
    gauges: dict[str, dict[str, str]]
    parts: dict[str, dict[str, Any]]

    @property
    def sentence(self) -> str:
        """The step's own words."""
        return self.cells.get("say") or self.cells["title"]

    def todo(self, what: str) -> None:
        """Leave a mark for what the writer has to fill in; the linter rejects it."""
        self.step["say"] += f" (TODO: {what})"

    def gauge(self, name: str, kind: str, unit: str) -> str:
        """The id of a gauge called ``name``, which is added to the list when it is new."""
        key = identifier(name)
        self.gauges.setdefault(
            key,
            {
                "id": key,
                "kind": kind,
                "name": f"{name} (TODO)",
                "unit": unit,
                "resolution": f"1 {unit}",
            },
        )
        return key

    def gauge_for(self, unit: str) -> str:
        """The id of a gauge that reads ``unit``, called as its cell says."""
        name = self.cells.get("gauge", f"gauge in {unit}")
        return self.gauge(name, _READS.get(unit, "caliper"), unit)

    def measured(self) -> None:
        """Quantity, unit and limits, as far as the sentence and its cells state them."""
        lower, upper = limits(self.step["say"])
        known = lower or upper
        unit = self.cells.get("unit") or (known.unit if known else _unit_of(self.sentence))
        self.step |= {"quantity": "value", "unit": unit}
        size = fit(self.step["say"])
        if size is not None and known is None:
            self.step["fit"] = size
            self.todo("which part has this size")
        for key, found in (("lower", lower), ("upper", upper)):
            if key in self.cells:
                self.step[key] = self.cells[key]
            elif found is not None and not {"lower", "upper"} & set(self.cells):
                self.step[key] = str(found)


def _unit_of(sentence: str) -> str:
    """The unit that the words of a sentence give away; a length where they give none."""
    return next((unit for words, unit in _SPEAKS_OF if words.search(sentence)), "mm")


def identifier(text: str) -> str:
    """``text`` as an id: small letters, digits and underscores."""
    words = re.findall(r"[a-z0-9]+", text.lower())
    name = "_".join(words)[:40].strip("_")
    return name if name[:1].isalpha() else f"step_{name}".rstrip("_")
