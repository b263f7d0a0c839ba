"""A grammar as a network of states, for matching, sampling and enumerating.

A state's arcs are laid when it is first visited: of the thousands that a reading may pass through,
the words of one phrase visit few. Loops and a rule that ends by calling itself (the right
recursion of JSGF) are cycles of the network; a rule that calls itself elsewhere is refused when it
is met (see :mod:`assistant.language.recursion`).
"""

from __future__ import annotations

import random
import re
from collections import deque
from collections.abc import Iterable, Iterator
from collections.abc import Sequence as SequenceOf
from itertools import accumulate, takewhile
from operator import eq
from typing import NamedTuple, assert_never

from assistant.language.recursion import calls_itself
from assistant.language.tree import (
    Alternatives,
    Grammar,
    GrammarError,
    Node,
    Optional,
    Repeat,
    RuleRef,
    Sequence,
    Tag,
    Token,
)

NUMBER = "#"
"""Stands in a grammar for a typed number; matches words such as ``#1.50``."""

_A_NUMBER = re.compile(r"#(\d+(\.\d*)?|(\d+\+)?\d+/\d*[1-9]\d*)", re.ASCII)

Tags = tuple[str, ...]


class _Arc(NamedTuple):
    """To state ``to``: speaking ``word`` or, where it is None, silently with ``tag``.

    A tuple, for they are made by the thousand each time the dialogue listens for something new.
    """

    to: int
    word: str | None = None
    tag: str = ""
    weight: float = 1.0


_Open = dict[str, tuple[int, int]]  # the rules around a node: name -> first and last state
_Waiting = tuple[Node, int, _Open]  # a node to be laid, the state it leads to, the rules around it
_Paths = set[tuple[int, Tags]]  # states reached, each with the tags on the way there
_Beginning = tuple[tuple[str, ...], set[int]]  # words, and the states that they lead to
_Read = tuple[tuple[str, ...], list[_Paths]]  # words, and the paths before and after each of them


class Network:
    """The states of rule ``start`` of ``grammar``; matching answers are cached per state."""

    def __init__(self, grammar: Grammar, start: str) -> None:
        self._grammar = grammar
        self._laid: list[list[_Arc]] = [[], []]
        self._waiting: dict[int, _Waiting] = {}
        self._steps: dict[int, dict[str, tuple[tuple[int, Tags], ...]]] = {}
        self._ends: dict[int, frozenset[Tags]] = {}
        self._final = 1
        self._toward: dict[int, int] = {}
        self._drawn_from: dict[int, tuple[list[_Arc], list[float]]] = {}
        self._waiting[0] = (RuleRef(start), self._final, {})
        self._last: _Read = ((), [{(0, ())}])

    def match(self, words: SequenceOf[str]) -> frozenset[Tags]:
        """The tag sequences of all ways to read ``words``; empty when there is none."""
        # Phrases that are compared with one another mostly begin alike.
        said, read = self._last
        shared = sum(1 for _ in takewhile(bool, map(eq, said, words)))
        read = read[: shared + 1]
        for word in words[shared:]:
            read.append(self._after(read[-1], word))
            if not read[-1]:
                break
        self._last = tuple(words[: len(read) - 1]), read
        return frozenset((*tags, *more) for s, tags in read[-1] for more in self._ending(s))

    def _after(self, paths: _Paths, word: str) -> _Paths:
        key = NUMBER if _A_NUMBER.fullmatch(word) else word
        if word == NUMBER:
            return set()  # typed as it is, it is no number
        lit = (f"lit:{word[1:]}",) if key == NUMBER else ()
        return {
            (to, (*tags, *more, *lit))
            for state, tags in paths
            for to, more in self._onward(state).get(key, ())
        }

    def sample(self, rng: random.Random, longest: int = 40) -> tuple[str, ...]:
        """A random phrase by the grammar's weights; past ``longest`` words it heads for the end.

        Raises:
            GrammarError: the grammar allows no phrase.
        """
        if not self._toward:
            self._toward.update(self._distances())
        toward = self._toward
        if 0 not in toward:
            raise GrammarError(f"Grammar '{self._grammar.name}' has nothing to say.")
        state = 0
        spoken: list[str] = []
        while state != self._final:
            arcs, weights = self._weighed(state)
            arc = rng.choices(arcs, cum_weights=weights)[0]
            if len(spoken) >= longest:
                arc = min(arcs, key=lambda a: toward[a.to])
            if arc.word is not None:
                spoken.append(arc.word)
            state = arc.to
        return tuple(spoken)

    def _weighed(self, state: int) -> tuple[list[_Arc], list[float]]:
        """The arcs of ``state`` that lead to the end, and their weights added up."""
        found = self._drawn_from.get(state)
        if found is None:
            arcs = [a for a in self._arcs(state) if a.to in self._toward]
            found = self._drawn_from[state] = (arcs, list(accumulate(a.weight for a in arcs)))
        return found

    def enumerate(self, most_words: int) -> Iterator[tuple[str, ...]]:
        """Every phrase of at most ``most_words`` words, shortest first."""
        layer: Iterable[_Beginning] = [((), {0})]
        for words in range(most_words + 1):
            if words < most_words:  # the longest are made one by one, as they are asked for
                layer = list(layer)
            yield from (spoken for spoken, states in layer if any(map(self._ending, states)))
            layer = self._longer(layer)

    def _longer(self, layer: Iterable[_Beginning]) -> Iterator[_Beginning]:
        """Every beginning of a phrase in ``layer`` with each word that may follow."""
        for spoken, states in layer:
            ways: dict[str, set[int]] = {}
            for state in states:
                for word, targets in self._onward(state).items():
                    ways.setdefault(word, set()).update(to for to, _ in targets)
            yield from (((*spoken, word), after) for word, after in ways.items())

    start = 0
    """The state before the first word."""

    @property
    def final(self) -> int:
        """The state in which a phrase is complete."""
        return self._final

    def closure(self, states: Iterable[int]) -> frozenset[int]:
        """``states`` and those reached from them without a word; of these, the ones that matter."""
        found = set(states)
        pending = list(found)
        while pending:
            for arc in self._arcs(pending.pop()):
                if arc.word is None and arc.to not in found:
                    found.add(arc.to)
                    pending.append(arc.to)
        return frozenset(s for s in found if s == self._final or any(a.word for a in self._arcs(s)))

    def onward(self, states: Iterable[int]) -> dict[str, set[int]]:
        """Word -> the states that saying it in one of ``states`` leads to."""
        ways: dict[str, set[int]] = {}
        for state in states:
            for arc in self._arcs(state):
                if arc.word is not None:
                    ways.setdefault(arc.word, set()).add(arc.to)
        return ways

    def _onward(self, state: int) -> dict[str, tuple[tuple[int, Tags], ...]]:
        found = self._steps.get(state)
        if found is None:
            steps: dict[str, list[tuple[int, Tags]]] = {}
            for at, tags in self._silent(state):
                for arc in self._arcs(at):
                    if arc.word is not None:
                        steps.setdefault(arc.word, []).append((arc.to, tags))
            found = {word: tuple(ways) for word, ways in steps.items()}
            self._steps[state] = found
        return found

    def _ending(self, state: int) -> frozenset[Tags]:
        found = self._ends.get(state)
        if found is None:
            found = frozenset(tags for at, tags in self._silent(state) if at == self._final)
            self._ends[state] = found
        return found

    def _silent(self, state: int) -> list[tuple[int, Tags]]:
        """States reached from ``state`` without a word, with the tags on the way."""
        found: dict[tuple[int, Tags], None] = {(state, ()): None}
        on_the_way = {state}
        path: list[tuple[int, Tags, Iterator[_Arc]]] = [(state, (), iter(self._arcs(state)))]
        while path:
            at, tags, arcs = path[-1]
            for arc in arcs:
                if arc.word is None and arc.to not in on_the_way:
                    more = (*tags, arc.tag) if arc.tag else tags
                    found[arc.to, more] = None
                    on_the_way.add(arc.to)
                    path.append((arc.to, more, iter(self._arcs(arc.to))))
                    break
            else:
                path.pop()
                on_the_way.remove(at)
        return list(found)

    def _distances(self) -> dict[int, int]:
        """Arcs from each state to the end, for the states that lead there at all."""
        into: dict[int, list[int]] = {}
        for state, arcs in enumerate(self._all()):
            for arc in arcs:
                into.setdefault(arc.to, []).append(state)
        found = {self._final: 0}
        pending = deque((self._final,))
        while pending:
            state = pending.popleft()
            for before in into.get(state, ()):
                if before not in found:
                    found[before] = found[state] + 1
                    pending.append(before)
        return found

    def _arcs(self, state: int) -> list[_Arc]:
        """The arcs of ``state``, laid at its first visit."""
        waiting = self._waiting.pop(state, None)
        if waiting is not None:
            self._lay(state, waiting)
        return self._laid[state]

    def _all(self) -> list[list[_Arc]]:
        """The arcs of every state."""
        while self._waiting:
            self._lay(*self._waiting.popitem())
        return self._laid

    def _new(self) -> int:
        self._laid.append([])
        return len(self._laid) - 1

    def _join(self, start: int, end: int, weight: float = 1.0, tag: str = "") -> None:
        self._laid[start].append(_Arc(end, None, tag, weight))

    def _lay(self, start: int, waiting: _Waiting) -> None:
        """Lay a node's first arcs; what comes after them waits until it is visited."""
        node, end, around = waiting
        match node:
            case Token(text=text):
                self._laid[start].append(_Arc(end, text))
            case Tag(text=text):
                self._join(start, end, tag=text)
            case RuleRef(name=name):
                self._call(name, start, end, around)
            case Sequence(items=items):
                at = start
                for item in items[:-1]:
                    ahead = self._new()
                    self._put(at, start, (item, ahead, around))
                    at = ahead
                if items:
                    self._put(at, start, (items[-1], end, around))
                else:
                    self._join(start, end)
            case Alternatives(options=options, weights=weights):
                for index, option in enumerate(options):
                    entry = self._new()
                    self._join(start, entry, weights[index] if weights else 1.0)
                    self._waiting[entry] = (option, end, around)
            case Optional(item=item):
                entry = self._new()
                self._join(start, entry)
                self._join(start, end)
                self._waiting[entry] = (item, end, around)
            case Repeat(item=item, at_least=at_least):
                entry, leave = self._new(), self._new()
                self._join(start, entry)
                self._waiting[entry] = (item, leave, around)
                self._join(leave, entry)
                self._join(leave, end)
                if not at_least:
                    self._join(start, end)
            case _:
                assert_never(node)

    def _put(self, at: int, visited: int, waiting: _Waiting) -> None:
        """Lay at once what starts at the state now visited, and leave the rest."""
        if at == visited:
            self._lay(at, waiting)
        else:
            self._waiting[at] = waiting

    def _call(self, name: str, start: int, end: int, around: _Open) -> None:
        if name in around:
            entry, leave = around[name]
            if end != leave:
                raise calls_itself(self._grammar, name)
            self._join(start, entry)
            return
        entry = self._new()
        self._join(start, entry)
        self._waiting[entry] = (self._grammar.body(name), end, {**around, name: (entry, end)})
