"""Cuts a grammar down to what may be said now, by the guards in its data.

An item list that holds ``{when:FEATURE}`` exists only while the feature is on, one that holds
``{unless:FEATURE}`` only while it is off. So the data say where a feature matters, in the word
order of their language, and code only says which features are on.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from assistant.language.tree import (
    NOTHING,
    VOID,
    Alternatives,
    Grammar,
    Node,
    Optional,
    Repeat,
    Rule,
    RuleRef,
    Sequence,
    Tag,
    Token,
    reachable,
    sequence,
    walk,
)

_GUARDS = ("when:", "unless:")


@dataclass(frozen=True)
class Narrowed:
    """The rules left of a grammar, and the name that its start rule has among them."""

    start: str
    rules: Mapping[str, Rule]


def guarded_rules(grammar: Grammar) -> frozenset[str]:
    """Names of rules that hold a guard themselves or through a rule that they use."""
    guarded = {
        name
        for name, rule in grammar.rules.items()
        if any(isinstance(n, Tag) and n.text.startswith(_GUARDS) for n in walk(rule.body))
    }
    while True:
        more = {
            name
            for name, rule in grammar.rules.items()
            if name not in guarded and not guarded.isdisjoint(rule.uses)
        }
        if not more:
            return frozenset(guarded)
        guarded |= more


def narrow(grammar: Grammar, start: str, features: frozenset[str], suffix: str = "") -> Narrowed:
    """``start`` and what it needs, with guards decided and dead ends pruned.

    Rules that depend on guards get ``suffix`` on their names, so that several narrowings of one
    grammar can live side by side; the others are shared.
    """
    names = reachable(grammar, start)
    guarded = guarded_rules(Grammar(grammar.name, {name: grammar.rules[name] for name in names}))
    bodies = {name: _decide(grammar.body(name), features) for name in names}
    alive = {name: _clean(body, set()) for name, body in bodies.items()}
    dead: set[str] = set()
    while found := {n for n, body in alive.items() if body == VOID and n not in dead}:
        dead |= found
        for name in names:
            if not found.isdisjoint(grammar.rules[name].uses):
                alive[name] = _clean(bodies[name], dead)
    rename = {n: n + suffix if n in guarded else n for n in names}
    rules: dict[str, Rule] = {}
    for name in names:
        if name not in dead or name == start:
            body = _rename(alive[name], rename) if suffix else alive[name]
            old = grammar.rules[name]
            rules[rename[name]] = Rule(rename[name], body, False, old.place)
    return Narrowed(rename[start], rules)


def _decide(node: Node, features: frozenset[str]) -> Node:
    match node:
        case Sequence(items=items):
            kept: list[Node] = []
            for item in items:
                if isinstance(item, Tag) and item.text.startswith(_GUARDS):
                    key, _, feature = item.text.partition(":")
                    if (feature in features) != (key == "when"):
                        return VOID
                else:
                    kept.append(_decide(item, features))
            return sequence(*kept)
        case Alternatives(options=options, weights=weights):
            return Alternatives(tuple(_decide(o, features) for o in options), weights)
        case Optional(item=item):
            return Optional(_decide(item, features))
        case Repeat(item=item, at_least=at_least):
            return Repeat(_decide(item, features), at_least)
        case _:
            return node


def _clean(node: Node, dead: set[str]) -> Node:
    """``node`` without the branches that lead nowhere; VOID when none is left."""
    match node:
        case RuleRef(name=name):
            return VOID if name in dead else node
        case Sequence(items=items):
            parts = [_clean(item, dead) for item in items]
            return VOID if VOID in parts else sequence(*parts)
        case Alternatives(options=options, weights=weights):
            pairs = [(_clean(o, dead), i) for i, o in enumerate(options)]
            alive = [(o, i) for o, i in pairs if o != VOID]
            spoken = [(o, i) for o, i in alive if o != NOTHING]
            kept = tuple(weights[i] for _, i in spoken) if weights else ()
            inner = _one_of(tuple(o for o, _ in spoken), kept)
            if len(spoken) == len(alive):
                return inner
            return Optional(inner) if spoken else NOTHING
        case Optional(item=item):
            inner = _clean(item, dead)
            return Sequence() if inner == VOID else Optional(inner)
        case Repeat(item=item, at_least=at_least):
            inner = _clean(item, dead)
            if inner == VOID:
                return VOID if at_least else Sequence()
            return Repeat(inner, at_least)
        case _:
            return node


def _one_of(options: tuple[Node, ...], weights: tuple[float, ...]) -> Node:
    return options[0] if len(options) == 1 else Alternatives(options, weights)


def _rename(node: Node, names: Mapping[str, str]) -> Node:
    match node:
        case RuleRef(name=name):
            return RuleRef(names[name])
        case Sequence(items=items):
            return Sequence(tuple(_rename(i, names) for i in items))
        case Alternatives(options=options, weights=weights):
            return Alternatives(tuple(_rename(o, names) for o in options), weights)
        case Optional(item=item):
            return Optional(_rename(item, names))
        case Repeat(item=item, at_least=at_least):
            return Repeat(_rename(item, names), at_least)
        case Token() | Tag():
            return node
