"""Makes a first procedure file from a step list: loadable, and full of TODO marks to fill in."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

from assistant.input_file import read_whole
from assistant.procedure.field_names import STEP_KINDS
from assistant.procedure.guess import duration, guess_kind, limits, torque
from assistant.procedure.step_list import Row, StepListError, read_csv, read_markdown

__all__ = ["StepListError", "starter", "starter_from_file"]

_HEAD = """\
# Made from a step list. Every TODO, and every figure, must be checked against the manual before
# this file goes to the bench; the linter rejects it while a TODO is left.
"""
_TITLE_WORDS = 7
_MAX_BYTES = 1_000_000


def starter_from_file(path: Path | str) -> str:
    """The text of a starter procedure made from the file ``path`` (``.md``, ``.txt``, ``.csv``).

    Raises:
        StepListError: the file cannot be read or holds no step list.
    """
    path = Path(path)
    try:
        text = read_whole(path, _MAX_BYTES).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise StepListError(
            f"{path} is not UTF-8 text; save it again with that encoding."
        ) from None
    except OSError as fault:
        reason = fault.strerror or "it cannot be opened"
        raise StepListError(f"{path} cannot be read ({reason}); check the file.") from None
    return starter(text, "csv" if path.suffix.lower() == ".csv" else "markdown", _id(path.stem))


def starter(text: str, layout: str, procedure_id: str = "new_procedure") -> str:
    """The text of a starter procedure from ``text`` in ``layout`` ``markdown`` or ``csv``.

    Raises:
        StepListError: the text holds no step list.
    """
    title, rows = ("", read_csv(text)) if layout == "csv" else read_markdown(text)
    gauges: dict[str, dict[str, str]] = {}
    parts: dict[str, dict[str, Any]] = {}
    steps: list[dict[str, Any]] = []
    taken: dict[str, int] = {}
    for row in rows:
        step = _step(row, gauges, parts)
        step["id"] = _fresh(_id(step["title"]), taken)
        steps.append({"id": step.pop("id"), "kind": step.pop("kind"), **step})
    data: dict[str, Any] = {
        "id": _id(procedure_id),
        "title": title or "TODO title",
        "revision": "A",
        "governing": {
            "title": "TODO title of the manual",
            "revision": "TODO",
            "date": "2000-01-01",
        },
    }
    if gauges:
        data["gauges"] = list(gauges.values())
    if parts:
        data["parts"] = list(parts.values())
    data["steps"] = steps
    return _HEAD + _dump(data)


def _step(
    row: Row, gauges: dict[str, dict[str, str]], parts: dict[str, dict[str, Any]]
) -> dict[str, Any]:
    cells = row.cells
    say = cells.get("say") or cells["title"]
    kind = cells.get("kind") or _kind_of(cells, say)
    if kind not in STEP_KINDS:
        raise StepListError(
            f"Line {row.line}: the kind '{kind}' is unknown; use one of: {', '.join(STEP_KINDS)}."
        )
    step: dict[str, Any] = {"kind": kind, "title": cells.get("title") or _title(say), "say": say}
    if "caution" in cells:
        step["cautions"] = [cells["caution"]]
    if "reference" in cells:
        step["reference"] = cells["reference"]
    match kind:
        case "measurement":
            _measurement(step, cells, gauges)
        case "tightening":
            _tightening(step, cells, gauges)
        case "wait":
            step["duration"] = cells.get("duration") or str(duration(say) or "1 min")
            if "duration" not in cells and duration(say) is None:
                step["say"] += " (TODO: duration)"
        case "identification":
            parts["part"] = {"id": "part", "name": "TODO name of the part", "marked": True}
            step |= {"part": "part", "what": _what(say)}
        case "inspection":
            step["criteria"] = "TODO: what the second person must see to accept"
        case "choice":
            step["say"] += " (TODO: options)"
            step["options"] = [{"id": "first", "say": "first"}, {"id": "second", "say": "second"}]
        case "shims":
            _measured(step, cells)
            step["say"] += " (TODO: gap, limits, the shims of the set)"
            stock = _gauge(cells.get("gauge", "shim set"), "shim_set", step["unit"], gauges)
            step |= {"gap": "todo_name_a_measurement", "stock": stock}
        case "derived":
            step["say"] += " (TODO: formula and inputs)"
            step |= {"quantity": "value", "unit": cells.get("unit", "mm"), "formula": "a"}
            step["inputs"] = {"a": "todo_name_a_measurement"}
    return step


def _kind_of(cells: dict[str, str], say: str) -> str:
    if "target" in cells:
        return "tightening"
    if "duration" in cells:
        return "wait"
    if {"lower", "upper", "gauge", "unit"} & set(cells):
        return "measurement"
    return guess_kind(say)


def _measurement(
    step: dict[str, Any], cells: dict[str, str], gauges: dict[str, dict[str, str]]
) -> None:
    _measured(step, cells)
    unit = step["unit"]
    step["gauge"] = _gauge(cells.get("gauge", f"gauge in {unit}"), "caliper", unit, gauges)
    step["say"] += " (TODO: quantity, gauge, plausible band)"


def _measured(step: dict[str, Any], cells: dict[str, str]) -> None:
    """Quantity, unit and limits, as far as the sentence and its cells state them."""
    lower, upper = limits(step["say"])
    known = lower or upper
    step |= {"quantity": "value", "unit": cells.get("unit") or (known.unit if known else "mm")}
    for key, found in (("lower", lower), ("upper", upper)):
        if key in cells:
            step[key] = cells[key]
        elif found is not None and not {"lower", "upper"} & set(cells):
            step[key] = str(found)


def _tightening(
    step: dict[str, Any], cells: dict[str, str], gauges: dict[str, dict[str, str]]
) -> None:
    stated = torque(step["say"])
    step["target"] = cells.get("target") or str(stated or "0 N*m")
    unit = step["target"].split()[-1]
    step["tool"] = _gauge(cells.get("tool", f"wrench in {unit}"), "torque_wrench", unit, gauges)
    labels = [f.strip() for f in re.split(r"[;,]", cells.get("fasteners", "")) if f.strip()]
    step["fasteners"] = labels or ["bolt one"]
    step["thread"] = "dry"
    step["say"] += " (TODO: fasteners, tolerance, passes, dry or lubricated)"


def _gauge(name: str, kind: str, unit: str, gauges: dict[str, dict[str, str]]) -> str:
    key = _id(name)
    gauges.setdefault(
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


def _what(say: str) -> str:
    text = say.lower()
    return "batch" if "batch" in text else "part_number" if "part number" in text else "serial"


def _title(say: str) -> str:
    words = re.split(r"[.;:](?:\s|$)", say)[0].split()
    return " ".join(words[:_TITLE_WORDS]) if words else "TODO title"


def _id(text: str) -> str:
    words = re.findall(r"[a-z0-9]+", text.lower())
    name = "_".join(words)[:40].strip("_")
    return name if name[:1].isalpha() else f"step_{name}".rstrip("_")


def _fresh(name: str, taken: dict[str, int]) -> str:
    """``name``, with a number where it is taken; ``taken``: the last number of each name."""
    unique, number = name, taken.get(name, 0)
    while unique in taken:
        number += 1
        unique = f"{name}_{number + 1}"
    taken[name] = number
    taken.setdefault(unique, 0)
    return unique


def _dump(data: dict[str, Any]) -> str:
    yaml = YAML()
    yaml.default_flow_style = False
    yaml.width = 96
    yaml.indent(mapping=2, sequence=4, offset=2)
    out = io.StringIO()
    yaml.dump(data, out)
    return out.getvalue()
