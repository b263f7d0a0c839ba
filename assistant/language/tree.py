"""The grammar tree: a handful of immutable nodes that reader, writer, matcher and sampler share."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property


class GrammarError(ValueError):
    """A grammar that cannot be used: one sentence with file, line and remedy."""


@dataclass(frozen=True)
class Token:
    """One spoken word."""

    text: str


@dataclass(frozen=True)
class Tag:
    """Meaning carried along without being spoken, such as ``n:4`` or ``unit:thou``."""

    text: str


@dataclass(frozen=True)
class RuleRef:
    """A place where another rule goes."""

    name: str


@dataclass(frozen=True)
class Sequence:
    """Items one after the other; without items, nothing is spoken (``<NULL>``)."""

    items: tuple[Node, ...] = ()


@dataclass(frozen=True)
class Alternatives:
    """One of the options; without options, nothing can be spoken (``<VOID>``).

    ``weights``: one positive likelihood per option, or empty when all are equally likely.
    """

    options: tuple[Node, ...] = ()
    weights: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if self.weights and len(self.weights) != len(self.options):
            raise ValueError("Weights go with all options or with none.")


@dataclass(frozen=True)
class Optional:
    """The item or nothing."""

    item: Node


@dataclass(frozen=True)
class Repeat:
    """The item ``at_least`` times (0 or 1) or more."""

    item: Node
    at_least: int = 0


Node = Token | Tag | RuleRef | Sequence | Alternatives | Optional | Repeat

NOTHING = Sequence()
VOID = Alternatives()


@dataclass(frozen=True)
class Rule:
    """A named expansion. ``place`` is ``file:line`` of its definition."""

    name: str
    body: Node
    public: bool = False
    place: str = field(default="", compare=False)

    @cached_property
    def uses(self) -> tuple[str, ...]:
        """Names of the rules that stand in its body, as often as they do."""
        return tuple(n.name for n in walk(self.body) if isinstance(n, RuleRef))


@dataclass(frozen=True, eq=False)
class Grammar:
    """Rules by name, in the order of their definition; ``imports`` as written.

    A grammar equals only itself, so that what follows from one can be kept (``lru_cache``).
    """

    name: str
    rules: Mapping[str, Rule]
    imports: tuple[str, ...] = ()

    def body(self, name: str) -> Node:
        """The expansion of rule ``name``.

        Raises:
            GrammarError: there is no such rule.
        """
        return self.rule(name).body

    def rule(self, name: str) -> Rule:
        """Rule ``name``.

        Raises:
            GrammarError: there is no such rule.
        """
        try:
            return self.rules[name]
        except KeyError:
            raise GrammarError(
                f"Grammar '{self.name}' has no rule <{name}>; define it or fix its name."
            ) from None


def children(node: Node) -> tuple[Node, ...]:
    """The nodes directly below ``node``."""
    match node:
        case Sequence(items=nodes) | Alternatives(options=nodes):
            return nodes
        case Optional(item=item) | Repeat(item=item):
            return (item,)
        case _:
            return ()


def walk(node: Node) -> Iterator[Node]:
    """``node`` and everything below it, rule references not followed."""
    yield node
    for child in children(node):
        yield from walk(child)


def sequence(*items: Node) -> Node:
    """A sequence without needless nesting."""
    flat: list[Node] = []
    for item in items:
        flat.extend(item.items if isinstance(item, Sequence) else (item,))
    return flat[0] if len(flat) == 1 else Sequence(tuple(flat))


def reachable(grammar: Grammar, start: str, *, missing: bool = False) -> tuple[str, ...]:
    """Names of ``start`` and of every rule that it leads to, in order of first use.

    Raises:
        GrammarError: one of them is not there; with ``missing`` it is passed over.
    """
    order: dict[str, None] = {}
    pending = [start]
    while pending:
        name = pending.pop(0)
        if name in order or (missing and name not in grammar.rules):
            continue
        order[name] = None
        pending += grammar.rule(name).uses
    return tuple(order)


def words(grammar: Grammar, start: str) -> tuple[str, ...]:
    """Every word that ``start`` may use, sorted."""
    found = {
        node.text
        for name in reachable(grammar, start)
        for node in walk(grammar.body(name))
        if isinstance(node, Token)
    }
    return tuple(sorted(found))
