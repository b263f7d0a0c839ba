"""Makes a first procedure file from a step list: loadable, and full of TODO marks to fill in."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Any

from ruamel.yaml import YAML

from assistant.input_file import read_whole
from assistant.procedure.draft import StepDraft, identifier
from assistant.procedure.kinds import BY_NAME, KINDS, STEP_KINDS
from assistant.procedure.listed import NO_DATE
from assistant.procedure.step_list import StepListError, StepRow, read_csv, read_markdown

__all__ = ["StepListError", "guess_kind", "starter", "starter_from_file"]

_HEAD = """\
# Made from a step list. Every TODO, and every figure, must be checked against the manual before
# this file goes to the bench; the linter rejects it while a TODO is left.
"""
_TITLE_WORDS = 7
_JOINING = frozenset([
    "a", "an", "and", "at", "between", "by", "for", "from", "in", "is", "least", "more", "most",
    "no", "of", "on", "or", "over", "than", "that", "the", "their", "then", "to", "under", "up",
    "with", "within",
])  # fmt: skip
_MAX_BYTES = 1_000_000
_BY_RANK = sorted(KINDS, key=lambda kind: kind.rank, reverse=True)


def starter_from_file(path: Path | str, named: Path | None = None) -> str:
    """The text of a starter procedure made from the file ``path`` (``.md``, ``.txt``, ``.csv``).

    Its id is the name of that file, or of the file ``named`` that it will be written to.

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
    layout = "csv" if path.suffix.lower() == ".csv" else "markdown"
    return starter(text, layout, identifier((named or path).stem))


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
        step["id"] = _fresh(identifier(step["title"]), taken)
        steps.append({"id": step.pop("id"), "kind": step.pop("kind"), **step})
    data: dict[str, Any] = {
        "id": identifier(procedure_id),
        "title": title or "TODO title",
        "revision": "A",
        "governing": {
            "title": "TODO title of the manual",
            "revision": "TODO",
            "date": NO_DATE,
        },
    }
    if gauges:
        data["gauges"] = list(gauges.values())
    if parts:
        data["parts"] = list(parts.values())
    data["steps"] = steps
    return _HEAD + _dump(data)


def _step(
    row: StepRow, gauges: dict[str, dict[str, str]], parts: dict[str, dict[str, Any]]
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
    BY_NAME[kind].start(StepDraft(step, cells, gauges, parts))
    return step


def _kind_of(cells: dict[str, str], say: str) -> str:
    """The kind that the columns of a row give away, else the likeliest for its sentence."""
    for kind in _BY_RANK:
        if kind.columns & set(cells):
            return kind.kind
    return guess_kind(say)


def guess_kind(sentence: str) -> str:
    """The likeliest kind of step for ``sentence``; ``action`` when nothing speaks for another."""
    return next((kind.kind for kind in _BY_RANK if kind.sounds_like(sentence)), "action")


def _title(say: str) -> str:
    """The first words of a sentence, up to its first figure, without a word that joins more."""
    words = re.split(r"[.;:](?:\s|$)", say)[0].split()[:_TITLE_WORDS]
    figure = next((n for n, word in enumerate(words) if re.search(r"\d", word)), len(words))
    short = words[:figure]
    while short and short[-1].strip(",").lower() in _JOINING:
        short.pop()
    chosen = short if len(short) > 1 else words
    return " ".join(chosen).rstrip(", ") or "TODO title"


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
