"""A new kind of step, state, fact, event or effect cannot be forgotten without being named.

Of what is closed mypy names it, where a match has no catch-all but ``assert_never``; that is held
here. Of dialogue states the abstract methods of their owner do.
"""

from __future__ import annotations

import ast
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import get_args

import pytest

import assistant.dialogue
from assistant.dialogue.between import Between
from assistant.dialogue.effects import Effect
from assistant.dialogue.events import AnyEvent
from assistant.dialogue.facts import StepDone
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.kinds.kind import KindDialogue
from assistant.dialogue.kinds.tightening import passes
from assistant.dialogue.owner import StateOwner, all_states, register
from assistant.dialogue.states import Blocked, DialogueState, Ended
from assistant.procedure.kinds import KINDS as STEP_KINDS
from assistant.procedure.step import Step
from tests.dialogue.kit import Bench, procedure

pytestmark = pytest.mark.uncounted

SOURCES = sorted(Path(assistant.__file__).parent.rglob("*.py"))
KINDS = {
    kind.__name__
    for union in (Effect, *(get_args(u)[0] for u in (AnyFact, AnyEvent)))
    for kind in get_args(union)
} | {kind.model.__name__ for kind in STEP_KINDS}


def _matches(tree: ast.AST) -> Iterator[ast.Match]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Match) and _names(node) & KINDS:
            yield node


def _names(match: ast.Match) -> set[str]:
    return {
        node.cls.id
        for case in match.cases
        for node in ast.walk(case.pattern)
        if isinstance(node, ast.MatchClass) and isinstance(node.cls, ast.Name)
    }


def _catch_all(match: ast.Match) -> list[ast.stmt] | None:
    last = match.cases[-1]
    open_ended = isinstance(last.pattern, ast.MatchAs) and last.pattern.pattern is None
    return last.body if open_ended and last.guard is None else None


def _called(body: list[ast.stmt]) -> str:
    """The one function that ``body`` calls; empty when it does more or something else."""
    match body:
        case [ast.Expr(value=ast.Call(func=ast.Name(id=name)))]:
            return name
        case _:
            return ""


def _complete(match: ast.Match, tree: ast.Module) -> bool:
    """Whether the match ends in ``assert_never``.

    mypy cannot exhaust a pair (effect, event); such a match hands what is left to a function of
    its module that ends in one.
    """
    body = _catch_all(match)
    if body is None:
        return False
    name = _called(body)
    if name == "assert_never":
        return True
    if not isinstance(match.subject, ast.Tuple):
        return False
    after = [f for f in tree.body if isinstance(f, ast.FunctionDef) and f.name == name]
    inner = [m for f in after for m in _matches(f)]
    return bool(inner) and all(_complete(m, tree) for m in inner)


def test_there_are_matches_to_look_at() -> None:
    found = [m for path in SOURCES for m in _matches(ast.parse(path.read_text("utf-8")))]
    assert len(found) > 5


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: f"{p.parent.name}/{p.stem}")
def test_every_match_over_kinds_ends_in_assert_never(path: Path) -> None:
    tree = ast.parse(path.read_text("utf-8"))
    loose = [m.lineno for m in _matches(tree) if not _complete(m, tree)]
    assert not loose, f"{path}: lines {loose} have a catch-all, or none, without assert_never"


@pytest.mark.parametrize(
    ("text", "complete"),
    [
        ("match m:\n case Say(): a()\n case _: assert_never(m)", True),
        ("match m:\n case Say(): a()\n case _: pass", False),
        ("match m:\n case Say(): a()", False),
        ("match m, n:\n case Say(), x: a()\n case _: rest(t)", False),
        (
            "match m, n:\n case Say(), x: a()\n case _: rest(t)\n"
            "def rest(t):\n match t:\n  case Say(): a()\n  case _: assert_never(t)",
            True,
        ),
    ],
)
def test_the_look_itself_tells_them_apart(text: str, complete: bool) -> None:
    tree = ast.parse(text)
    assert all(_complete(m, tree) for m in _matches(tree)) is complete


def test_an_owner_that_forgets_a_method_cannot_be_made() -> None:
    class Forgetful(StateOwner[Ended]):
        states = (Ended,)

    with pytest.raises(TypeError, match=r"abstract.*answer.*ask_again.*may_be_said.*next_line"):
        Forgetful()  # type: ignore[abstract]

    class Idle(KindDialogue[Step]):
        kind = "idle"

    with pytest.raises(TypeError, match=r"abstract.*begin"):
        Idle()  # type: ignore[abstract]


def test_every_state_has_one_owner() -> None:
    named = {
        found
        for module in list(sys.modules.values())
        if module.__name__.startswith("assistant.dialogue")
        for found in vars(module).values()
        if isinstance(found, type) and issubclass(found, DialogueState)
    } - {DialogueState}
    assert set(all_states()) == named
    with pytest.raises(ValueError, match="Waiting has two owners"):
        register([Between()])


ROOM = Path(assistant.dialogue.__file__).parent


@pytest.mark.parametrize(
    "path",
    [p for p in sorted(ROOM.rglob("*.py")) if "kinds" not in p.relative_to(ROOM).parts],
    ids=lambda p: p.stem,
)
def test_nothing_beside_the_kinds_names_one(path: Path) -> None:
    names = {n.id for n in ast.walk(ast.parse(path.read_text("utf-8"))) if isinstance(n, ast.Name)}
    assert not names & {kind.model.__name__ for kind in STEP_KINDS}
    own = {f"assistant.dialogue.kinds.{kind.kind}" for kind in STEP_KINDS}
    imported = re.findall(r"from (assistant\.dialogue\.kinds\.\w+)", path.read_text("utf-8"))
    assert not set(imported) & own


def test_a_step_that_asks_for_nothing_is_not_gone_past(monkeypatch: pytest.MonkeyPatch) -> None:
    """As a kind would be whose opening is not written yet: the moment before it must not answer."""
    monkeypatch.setattr(passes, "announce", lambda *_: None)
    bench = Bench(
        procedure(
            {"id": "wipe", "kind": "action"},
            {"id": "nuts", "kind": "tightening", "tool": "wrench", "target": "8 lbf*ft",
             "fasteners": ["nut one", "nut two"], "thread": "dry"},
        )
    )  # fmt: skip
    bench.start()
    bench.say("done")
    assert bench.state.step == "nuts"
    bench.say("go_on")
    bench.say("done")
    assert isinstance(bench.awaiting(), Blocked)
    assert [f.step for f in bench.facts if isinstance(f, StepDone)] == ["wipe"]
