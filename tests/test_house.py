"""Rules for the whole house: one meaning for a class name, one way of imports, plain words."""

from __future__ import annotations

import ast
import re
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

import assistant
from assistant.procedure.kinds import STEP_KINDS

PACKAGE = Path(assistant.__file__).parent
ROOT = Path(__file__).parents[1]
GUIDE = ROOT / "DEVELOPERS.md"

QUAINT = (
    "anew", "nought", "whence", "thereof", "therein", "afresh", "befall", "befell", "lest",
    "as you were", "thrown away", "stands open", "hears along", "made ready", "bears? out",
    "(?:is|are|was|were|be|being) told of", "cannot be told", "let go of", "go(?:ne|es)? on with",
    "taken? up again", "cannot be had", "came upon", "come upon", "comes of it",
    "mend(?:s|ed|ing)?",
)  # fmt: skip
"""Words and phrases that a mechanic would not use today."""


@cache
def parsed() -> dict[Path, ast.Module]:
    """Every module of the package."""
    return {p: ast.parse(p.read_text(encoding="utf-8")) for p in sorted(PACKAGE.rglob("*.py"))}


def named_types(tree: ast.Module) -> Iterator[tuple[str, int]]:
    """The classes of a file and the public names that it gives to types, each with its line."""
    for node in ast.walk(tree):
        if isinstance(node, ast.ClassDef):
            yield node.name, node.lineno
    for statement in tree.body:
        if isinstance(statement, ast.Assign):
            for target in statement.targets:
                if isinstance(target, ast.Name) and re.match("[A-Z][a-z]", target.id):
                    yield target.id, statement.lineno


def test_no_name_of_a_type_serves_twice() -> None:
    places = defaultdict(list)
    for path, tree in parsed().items():
        for name, line in named_types(tree):
            places[name].append(f"{path.relative_to(PACKAGE)}:{line}")
    assert len(places) > 300  # it found the classes
    assert {name: where for name, where in places.items() if len(where) > 1} == {}


def rooms_in_order() -> list[str]:
    """The rooms as the contributor's guide puts them, the first imports no other."""
    (line,) = [x for x in GUIDE.read_text(encoding="utf-8").splitlines() if " <- " in x]
    return line.strip("`").split(" <- ")


def imported(tree: ast.AST, submodules: frozenset[str] = frozenset()) -> Iterator[tuple[int, str]]:
    """Every module of the package that a file imports anywhere in it, with the line.

    Of ``from package import name``, the package; or the module of that name, where it is one of
    ``submodules``.
    """
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            if node.module == "assistant":
                yield from ((node.lineno, f"assistant.{a.name}") for a in node.names)
            elif node.module:
                for alias in node.names:
                    whole = f"{node.module}.{alias.name}"
                    yield node.lineno, whole if whole in submodules else node.module
        elif isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names)


def test_the_guide_orders_every_room() -> None:
    assert sorted(rooms_in_order()) == sorted(p.parent.name for p in PACKAGE.glob("*/__init__.py"))


def test_the_guide_names_every_module_beside_the_rooms() -> None:
    beside = {p.name for p in PACKAGE.glob("*.py")} - {"__init__.py", "__main__.py"}
    (listed,) = re.findall(r"modules beside the\s+rooms \((.*?)\)", GUIDE.read_text("utf-8"), re.S)
    assert set(re.findall(r"`(\w+\.py)`", listed)) == beside


def test_imports_go_one_way() -> None:
    rank = {room: number for number, room in enumerate(rooms_in_order())}
    wrong, seen = [], 0
    for path, tree in parsed().items():
        own = path.relative_to(PACKAGE).parts[0]
        for line, module in imported(tree):
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


def test_no_two_files_need_each_other() -> None:
    files = {".".join(("assistant", *p.relative_to(PACKAGE).with_suffix("").parts)): p
             for p in parsed()}  # fmt: skip
    names = {name.removesuffix(".__init__"): name for name in files}
    needs = {
        name: {
            names[module]
            for _, module in imported(parsed()[path], submodules=frozenset(names))
            if module in names and names[module] != name
        }
        for name, path in files.items()
    }
    assert sum(map(len, needs.values())) > 500  # it found the imports
    TopologicalSorter(needs).prepare()  # raises CycleError where there is a circle


def test_no_kind_is_named_outside_the_rooms_of_the_kinds() -> None:
    named = [
        f"{path.relative_to(PACKAGE)}:{line} imports {module}"
        for path, tree in parsed().items()
        if "kinds" not in path.relative_to(PACKAGE).parts
        for line, module in imported(tree)
        if re.search(r"\.kinds\.(\w+)", module) and module.split(".")[3] in STEP_KINDS
    ]
    assert named == []


def test_every_file_that_the_guide_names_is_there() -> None:
    named = set(
        re.findall(r"`([\w-]+/[\w./-]+\.(?:py|md|onnx))`", GUIDE.read_text(encoding="utf-8"))
    )
    named -= {n for n in named if n.startswith("kinds/")}  # one in each of four rooms
    assert len(named) > 30  # it found them
    assert [n for n in sorted(named) if not any((at / n).exists() for at in (ROOT, PACKAGE))] == []


def test_every_name_that_the_guide_sends_a_reader_to_is_in_the_code() -> None:
    guide = GUIDE.read_text(encoding="utf-8")
    start = guide.index("\n## Where does a new thing go?")
    part = guide[start : guide.index("\n## ", start + 1)]
    named = set(re.findall(r"`([A-Za-z_]\w*)`", part))  # functions, classes, lists of names
    named |= set(re.findall(r"`([a-z_]+\.py)`", part))  # files beside one that has its folder
    files = [path for room in ("assistant", "tests") for path in (ROOT / room).rglob("*.py")]
    code = {path.name for path in files}
    for path in files:
        code |= set(re.findall(r"\w+", path.read_text(encoding="utf-8")))
    assert len(named) > 20  # it found them
    assert named - code == set()


def test_the_words_are_plain() -> None:
    quaint = re.compile(rf"\b(?:{'|'.join(QUAINT)})\b", re.IGNORECASE)
    rooms = (
        "assistant", "benchmarks", "docs", "grammars", "procedures", "scripts", "tests", "training",
    )  # fmt: skip
    files = [path for path in ROOT.iterdir() if path.suffix in (".md", ".toml")]
    files += [path for room in rooms for path in (ROOT / room).rglob("*")]
    found, seen = [], 0
    for path in sorted(files):
        read = path.suffix in (".py", ".md", ".sh", ".toml", ".js", ".j2", ".yaml")
        if not read or path == Path(__file__) or path.name == "speech.yaml":  # what builders say
            continue
        seen += 1
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            if match := quaint.search(line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {match[0]}")
    assert seen > 500  # it found the files
    assert found == []
