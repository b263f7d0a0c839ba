"""Rules for the whole package: one meaning for a class's name."""

from __future__ import annotations

import ast
from collections import defaultdict
from pathlib import Path

import assistant

PACKAGE = Path(assistant.__file__).parent


def test_no_class_name_serves_twice() -> None:
    places = defaultdict(list)
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.ClassDef):
                places[node.name].append(f"{path.relative_to(PACKAGE)}:{node.lineno}")
    assert len(places) > 300  # it found the classes
    assert {name: where for name, where in places.items() if len(where) > 1} == {}
