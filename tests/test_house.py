"""Rules for the whole package: one meaning for a class's name, one direction of imports."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import assistant
from assistant.procedure.kinds import STEP_KINDS

PACKAGE = Path(assistant.__file__).parent
GUIDE = Path(__file__).parents[1] / "DEVELOPERS.md"


def test_no_class_name_serves_twice() -> None:
    places = defaultdict(list)
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                places[node.name].append(f"{path.relative_to(PACKAGE)}:{node.lineno}")
    assert len(places) > 300  # it found the classes
    assert {name: where for name, where in places.items() if len(where) > 1} == {}


def rooms_in_order() -> list[str]:
    """The rooms as the contributor's guide puts them, the first imports no other."""
    (line,) = [x for x in GUIDE.read_text(encoding="utf-8").splitlines() if " <- " in x]
    return line.strip("`").split(" <- ")


def imported(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """Every module of the package that a file imports anywhere in it, with the line."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            if node.module == "assistant":
                yield from ((node.lineno, f"assistant.{a.name}") for a in node.names)
            elif node.module:
                yield node.lineno, node.module
        elif isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)


def test_the_guide_orders_every_room() -> None:
    assert sorted(rooms_in_order()) == sorted(p.parent.name for p in PACKAGE.glob("*/__init__.py"))


def test_imports_go_one_way() -> None:
    rank = {room: number for number, room in enumerate(rooms_in_order())}
    wrong, seen = [], 0
    for path in sorted(PACKAGE.rglob("*.py")):
        own = path.relative_to(PACKAGE).parts[0]
        for line, module in imported(ast.parse(path.read_text(encoding="utf-8"))):
            parts = module.split(".")
            if parts[0] != "assistant" or len(parts) < 2 or parts[1] not in rank:
                continue
            seen += 1
            # a module beside the rooms imports none of them; only the entry point may
            before = rank.get(own, -1 if own != "__main__.py" else len(rank))
            if rank[parts[1]] > before:
                wrong.append(f"{path.relative_to(PACKAGE)}:{line} imports {module}")
    assert seen > 500  # it found the imports
    assert wrong == []


def test_no_kind_is_named_outside_the_rooms_of_the_kinds() -> None:
    named = [
        f"{path.relative_to(PACKAGE)}:{line} imports {module}"
        for path in sorted(PACKAGE.rglob("*.py"))
        if "kinds" not in path.relative_to(PACKAGE).parts
        for line, module in imported(ast.parse(path.read_text(encoding="utf-8")))
        if re.search(r"\.kinds\.(\w+)", module) and module.split(".")[3] in STEP_KINDS
    ]
    assert named == []
