"""Matching words against a grammar tree, and sampling what it can say."""

from __future__ import annotations

import random
from functools import cache

from assistant.language.tree import Choice, Node, Ref, Repeat, Rules, Sequence, Tag, Token

Tags = tuple[str, ...]
_UNBOUNDED = 12


def parses(rules: Rules, start: Node, words: tuple[str, ...]) -> frozenset[Tags]:
    """The tag sequences of every way in which ``start`` can say exactly ``words``."""

    @cache
    def ends(node: Node, at: int) -> frozenset[tuple[int, Tags]]:
        match node:
            case Token(word=word):
                fits = at < len(words) and words[at] == word
                return frozenset({(at + 1, ())}) if fits else frozenset()
            case Tag(text=text):
                return frozenset({(at, (text,))})
            case Ref(name=name):
                return ends(rules[name], at)
            case Choice(items=items):
                return frozenset().union(*(ends(i, at) for i in items))
            case Sequence(items=items):
                return along(items, at)
            case Repeat(item=item, least=least, most=most):
                return repeated(item, least, most, at)

    def along(items: tuple[Node, ...], at: int) -> frozenset[tuple[int, Tags]]:
        reached: set[tuple[int, Tags]] = {(at, ())}
        for item in items:
            reached = {(e, tags + more) for a, tags in reached for e, more in ends(item, a)}
            if not reached:
                break
        return frozenset(reached)

    def repeated(item: Node, least: int, most: int | None, at: int) -> frozenset[tuple[int, Tags]]:
        found: set[tuple[int, Tags]] = set()
        reached: set[tuple[int, Tags]] = {(at, ())}
        for count in range((most if most is not None else len(words)) + 1):
            if count >= least:
                found |= reached
            step = {(e, tags + more) for a, tags in reached for e, more in ends(item, a) if e > a}
            if not step:
                break
            reached = step
        return frozenset(found)

    return frozenset(tags for end, tags in ends(start, 0) if end == len(words))


def sample(rules: Rules, node: Node, rng: random.Random) -> tuple[str, ...]:
    """Words that ``node`` can say, chosen by ``rng``."""
    match node:
        case Token(word=word):
            return (word,)
        case Tag():
            return ()
        case Ref(name=name):
            return sample(rules, rules[name], rng)
        case Choice(items=items, weights=weights):
            chosen = rng.choices(items, weights or None)[0]
            return sample(rules, chosen, rng)
        case Sequence(items=items):
            return tuple(w for i in items for w in sample(rules, i, rng))
        case Repeat(item=item, least=least, most=most):
            count = rng.randint(least, min(_UNBOUNDED, most if most is not None else least + 3))
            return tuple(w for _ in range(count) for w in sample(rules, item, rng))
