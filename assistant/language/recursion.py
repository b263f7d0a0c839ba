"""Which rules call themselves in a way that no network of states can follow.

A rule may end by calling itself: that is a loop. Called before its end, it is not a regular
grammar (JSGF 1.0, section 4.4, allows right recursion and leaves the rest to the recogniser).
"""

from __future__ import annotations

from collections.abc import Iterator

from assistant.language.tree import (
    Grammar,
    GrammarError,
    Node,
    Repeat,
    RuleRef,
    Sequence,
    children,
    reachable,
)


def refuse_inner_recursion(grammar: Grammar) -> None:
    """See that every rule calls itself only at its end, if at all, by way of whichever others.

    Raises:
        GrammarError: a rule does otherwise.
    """
    for name in grammar.rules:
        for called in _before_the_end(grammar.body(name), last=True):
            # a rule that is missing is reported where it is used
            if name in reachable(grammar, called, missing=True):
                raise calls_itself(grammar, called)


def calls_itself(grammar: Grammar, name: str) -> GrammarError:
    """The error for rule ``name``."""
    place = grammar.rules[name].place
    return GrammarError(f"{place}: Rule <{name}> calls itself before its end; use * or + instead.")


def _before_the_end(node: Node, last: bool) -> Iterator[str]:
    """The rules that ``node`` calls and then goes on; ``last``: nothing comes after ``node``."""
    if isinstance(node, RuleRef):
        if not last:
            yield node.name
    elif isinstance(node, Sequence):
        for at, item in enumerate(node.items, start=1):
            yield from _before_the_end(item, last and at == len(node.items))
    else:
        for child in children(node):
            yield from _before_the_end(child, last and not isinstance(node, Repeat))
