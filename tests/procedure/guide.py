"""The guide's pages: their examples, and the talk and the record that come of them.

``python -m tests.procedure.guide_session`` writes what comes of them again; read the difference.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from ruamel.yaml import YAML

from assistant.procedure.lint import Finding, lint_file
from assistant.procedure.loader import ProcedureFaults
from tests.procedure.kit import write_yaml

DOCS = Path(__file__).parents[2] / "docs"
FOLDER = DOCS / "guide"
WAY_IN = DOCS / "writing-procedures.md"
_LISTS = ("gauges", "consumables", "parts", "steps")


def fenced(text: str, language: str) -> list[str]:
    """What stands in the code blocks of ``language``."""
    return re.findall(rf"^```{language}\n(.*?)^```$", text, re.S | re.M)


@cache
def worked_example() -> str:
    """The procedure that the way in writes line by line; every page adds to it."""
    (text,) = [b for b in fenced(WAY_IN.read_text(encoding="utf-8"), "yaml") if b[:3] == "id:"]
    return text


def read(text: str) -> Any:
    """YAML as plain data, a date as its text."""
    yaml = YAML(typ="safe", pure=True)
    return yaml.load(re.sub(r"date: (\S+)", r"date: '\1'", text))


@dataclass(frozen=True)
class Mistake:
    """A row: ``wrote`` in place of ``right`` ("nothing": left out), and what check says."""

    row: str
    wrote: str
    right: str
    told: str


@dataclass(frozen=True)
class GuidePage:
    """One page. ``name`` is that of its file."""

    name: str
    text: str

    @property
    def additions(self) -> dict[str, list[dict[str, Any]]]:
        """What its examples add to the lists of a procedure."""
        added: dict[str, list[dict[str, Any]]] = {one: [] for one in _LISTS}
        for block in self.examples:
            for key, items in read(block).items():
                added[key] += items
        return added

    @property
    def examples(self) -> list[str]:
        """Its examples as they are written."""
        return fenced(self.text, "yaml")

    @property
    def steps(self) -> list[str]:
        """The ids of the steps that it shows."""
        return [step["id"] for step in self.additions["steps"]]

    @property
    def kinds(self) -> set[str]:
        """The kinds of step that it shows."""
        return {step["kind"] for step in self.additions["steps"]}

    @property
    def talk(self) -> list[str]:
        """Its transcript; what the builder says has ``> `` before it."""
        (block,) = fenced(self.text, "talk")
        return block.splitlines()

    @property
    def lines(self) -> list[str]:
        """What the builder says in it."""
        return [line[2:] for line in self.talk if line.startswith("> ")]

    @property
    def record(self) -> list[str]:
        """The lines of the record that it shows."""
        (block,) = fenced(self.text, "record")
        return block.splitlines()

    @property
    def mistakes(self) -> list[Mistake]:
        """Its table of usual mistakes."""
        table = self.text.partition("## Usual mistakes")[2]
        rows = re.finditer(r"^\| (`.+?`|nothing) \| `(.+?)` \| (.+?) \|$", table, re.M)
        return [Mistake(m[0], m[1].strip("`"), m[2], m[3]) for m in rows]

    def with_blocks(self, talk: list[str], record: list[str]) -> GuidePage:
        """The page with this talk and this record."""
        text = self.text
        for language, lines in (("talk", talk), ("record", record)):
            (old,) = re.findall(rf"^```{language}\n.*?^```$", text, re.S | re.M)
            body = "".join(f"{line}\n" for line in lines)
            text = text.replace(old, f"```{language}\n{body}```")
        return replace(self, text=text)

    def with_told(self, mistake: Mistake, said: str) -> GuidePage:
        """The page with what check says of a mistake."""
        row = mistake.row.replace(f"| {mistake.told} |", f"| {said} |")
        return replace(self, text=self.text.replace(mistake.row, row))

    def with_mistake(self, mistake: Mistake) -> GuidePage:
        """The page with the mistake in its examples."""
        wrote, right = mistake.wrote, re.escape(mistake.right)
        if wrote == "nothing":
            wrote, right = "", rf"^.*{right}\n"
        head, mark, table = self.text.partition("## Usual mistakes")
        spoiled, count = re.subn(right, lambda _: wrote, head, count=1, flags=re.M)
        assert count, f"{self.name}: no example has {mistake.right}"
        return replace(self, text=spoiled + mark + table)


def told(page: GuidePage, mistake: Mistake) -> str:
    """What check says first of a mistake; nothing if it finds nothing."""
    try:
        found = findings(page.with_mistake(mistake))
    except ProcedureFaults as faults:
        return re.sub(r"^\S+?:(\d+:)? ", "", str(faults).splitlines()[0])
    return next((f.message for f in sorted(found, key=lambda f: f.level)), "")


def findings(page: GuidePage) -> list[Finding]:
    """What check says of the worked example with the page's examples in it.

    Raises:
        ProcedureFaults: it cannot be loaded.
    """
    with TemporaryDirectory() as folder:
        path = Path(folder) / "cover.yaml"
        write_yaml(added_to_the_example(page), path)
        return lint_file(path)


def pages() -> list[GuidePage]:
    """Every page of the guide that has examples."""
    files = sorted(FOLDER.glob("*.md"))
    found = [GuidePage(f.stem, f.read_text(encoding="utf-8")) for f in files]
    return [page for page in found if page.examples]


def added_to_the_example(page: GuidePage, alone: bool = False) -> dict[str, Any]:
    """The worked example with what a page adds, before the last step.

    Args:
        alone: leave out the other steps, as far as the page does not name them.
    """
    data: dict[str, Any] = read(worked_example())
    own = page.additions
    text = "\n".join(page.examples)
    for key in _LISTS:
        ids = {item["id"] for item in own[key]}
        kept = [item for item in data[key] if item["id"] not in ids]
        if key == "steps":
            *before, last = data[key]
            kept = [s for s in before if not alone or re.search(rf"\b{s['id']}\b", text)]
            kept = [s for s in kept if s["id"] not in ids]
            data[key] = [*kept, *own[key], *([] if last["id"] in ids else [last])]
        else:
            data[key] = [*kept, *own[key]]
    there = {step["id"] for step in data["steps"]}
    for step in data["steps"]:
        if alone and "after" in step:
            step["after"] = [one for one in step["after"] if one in there]
    return data
