"""A small sound procedure, and a way to spoil it in one place."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

import yaml
from ruamel.yaml import YAML

from assistant.procedure.lint import Finding, lint_file
from assistant.procedure.models import Procedure

SOUND = """\
id: small
title: A small procedure for tests
revision: A
governing: {title: Kettlebeck KB-2 Workshop Manual, revision: C, date: 2025-11-03}
applicability: {variants: [standard, long_shaft]}
gauges:
  - {id: dial, kind: dial_indicator, name: Dial, unit: thou, resolution: 0.1 thou,
     lower: 0 thou, upper: 100 thou, uncertainty: 0.2 thou}
  - {id: wrench, kind: torque_wrench, name: Wrench, unit: lbf*ft, resolution: 0.5 lbf*ft,
     lower: 5 lbf*ft, upper: 25 lbf*ft}
consumables:
  - {id: oil, name: Machine oil}
parts:
  - {id: shaft, name: Shaft, marked: true}
steps:
  - {id: lock, kind: caution, title: Lock out, say: Lock the penstock valve and tag it.}
  - {id: serial, kind: identification, title: Serial, say: Spell it., part: shaft, what: serial,
     form: "^KB[0-9]{3}$"}
  - {id: seal, kind: choice, title: Seal, say: Which seal?,
     options: [{id: lip, say: lip seal}, {id: felt, say: felt ring}]}
  - {id: place, kind: action, title: Place, say: Place the cap., when: {choice: {seal: lip}}}
  - {id: gap, kind: measurement, title: Gap, say: Measure the gap., quantity: gap, unit: thou,
     gauge: dial, positions: [top, bottom], lower: 2 thou, upper: 6 thou,
     plausible_low: 0 thou, plausible_high: 30 thou}
  - {id: spread, kind: derived, title: Spread, say: The spread., quantity: spread, unit: thou,
     formula: gap, inputs: {gap: gap}, combine: range, upper: 2 thou}
  - {id: bolts, kind: tightening, title: Bolts, say: Tighten the bolts., tool: wrench,
     target: 12 lbf*ft, tolerance: 1 lbf*ft, pattern: cross, passes: [0.5, 1],
     fasteners: [bolt one, bolt two, bolt three, bolt four], thread: lubricated, lubricant: oil}
  - {id: cure, kind: wait, title: Cure, say: Let it stand., duration: 30 min, meanwhile: [tidy]}
  - {id: tidy, kind: action, title: Tidy, say: Tidy the bench.}
  - {id: hold, kind: inspection, title: Hold, say: Call the inspector., criteria: All marked.,
     after: [cure]}
"""

Data = dict[str, Any]
Change = Callable[[Data], object]


def sound_data() -> Data:
    """The sound procedure as plain data, every value as text; a copy of one's own."""
    return copy.deepcopy(_parsed())


@lru_cache(maxsize=1)
def _parsed() -> Data:
    data = YAML(typ="safe", pure=True).load(SOUND.replace("2025-11-03", "'2025-11-03'"))
    assert isinstance(data, dict)
    return data


def step_of(data: Data, step_id: str) -> Data:
    """The data of one step."""
    return next(s for s in data["steps"] if s["id"] == step_id)


def spoiled(tmp_path: Path, change: Callable[[Data], object]) -> list[Finding]:
    """What the linter finds, with lines, after ``change`` was made to the sound procedure."""
    data = sound_data()
    change(data)
    path = tmp_path / "spoiled.yaml"
    write_yaml(data, path)
    return lint_file(path)


def write_yaml(data: Data, path: Path) -> None:
    """Write ``data`` as a procedure's file; libyaml does it in a tenth of the time."""
    text = yaml.dump(data, Dumper=yaml.CSafeDumper, default_flow_style=None, allow_unicode=True)
    path.write_text(text, encoding="utf-8")


def sound() -> Procedure:
    """The sound procedure."""
    return Procedure.model_validate(sound_data())


def at_step(findings: Sequence[Finding], level: str, step: str, words: str) -> list[Finding]:
    """The findings of that level at that step whose sentence matches ``words``."""
    return [
        f for f in findings if (f.level, f.step) == (level, step) and re.search(words, f.message)
    ]


def on(step: str, **fields: Any) -> Change:
    """Set fields of a step; None takes a field away."""

    def change(data: Data) -> None:
        target = step_of(data, step)
        for key, value in fields.items():
            target[key] = value
            if value is None:
                del target[key]

    return change


def both(*changes: Change) -> Change:
    return lambda data: [change(data) for change in changes]
