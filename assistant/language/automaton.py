"""The phrases of a grammar as the smallest machine that accepts them, word by word.

A grammar as written says the same word in many places: a number once for every unit and once for
every kind of number. A recogniser that follows all those copies side by side does the same work
many times over, and its beam, which keeps the likeliest, is filled with copies. Here every state
has one way onward for a word (subset construction), and states with the same future are one
(Moore's partition refinement). See Hopcroft and Ullman, *Introduction to Automata Theory* (1979),
sections 2.3 and 3.4. Meanings (tags) and weights are left out: the automaton knows which
words may follow, the network what they mean.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache

from assistant.language.jsgf_reader import read_jsgf
from assistant.language.network import Network
from assistant.language.tree import GrammarError

_MOST_STATES = 50_000


@dataclass(frozen=True)
class Automaton:
    """Deterministic and minimal; state 0 is the start.

    ``onward``: for every state, word -> next state. ``finals``: states in which a phrase may end.
    From every state some final one can be reached.
    """

    onward: tuple[Mapping[str, int], ...]
    finals: frozenset[int]

    def after(self, words: Iterable[str]) -> int | None:
        """The state after ``words``; None where no phrase begins so."""
        state: int | None = 0
        for word in words:
            if state is None:
                return None
            state = self.onward[state].get(word)
        return state

    def goes_on(self, state: int) -> bool:
        """Whether words may follow in ``state``."""
        return bool(self.onward[state])

    @cached_property
    def has_open_end(self) -> bool:
        """Whether some whole phrase is also the beginning of another."""
        return any(self.goes_on(state) for state in self.finals)

    @cached_property
    def words(self) -> frozenset[str]:
        """Every word that a phrase may hold."""
        return frozenset(word for ways in self.onward for word in ways)


def automaton(network: Network) -> Automaton:
    """The minimal automaton of the phrases of ``network``.

    Raises:
        GrammarError: the grammar allows no phrase, or its automaton would be huge.
    """
    ways, finals = _determined(network)
    alive = _alive(ways, finals)
    if 0 not in alive:
        raise GrammarError("The grammar has nothing to say; give it at least one phrase.")
    kept = [{w: to for w, to in on.items() if to in alive} for on in ways]
    return _minimal(kept, finals)


def _determined(network: Network) -> tuple[list[dict[str, int]], set[int]]:
    """Subset construction: sets of states reached by the same words become one state."""
    first = network.closure((network.start,))
    known = {first: 0}
    pending = [first]
    ways: list[dict[str, int]] = []
    finals: set[int] = set()
    while pending:
        group = pending.pop(0)
        if network.final in group:
            finals.add(len(ways))
        onward: dict[str, int] = {}
        ways.append(onward)
        for word, targets in network.onward(group).items():
            ahead = network.closure(targets)
            if ahead not in known:
                known[ahead] = len(known)
                if len(known) > _MOST_STATES:
                    raise GrammarError("The grammar is too large to listen for; narrow it.")
                pending.append(ahead)
            onward[word] = known[ahead]
    return ways, finals


def _alive(ways: list[dict[str, int]], finals: set[int]) -> set[int]:
    """States from which a final one can be reached."""
    into: dict[int, list[int]] = {}
    for state, onward in enumerate(ways):
        for to in onward.values():
            into.setdefault(to, []).append(state)
    found = set(finals)
    pending = list(finals)
    while pending:
        for before in into.get(pending.pop(), ()):
            if before not in found:
                found.add(before)
                pending.append(before)
    return found


def _minimal(ways: list[dict[str, int]], finals: set[int]) -> Automaton:
    """States that no words tell apart become one; numbered as met from the start."""
    block = [int(state in finals) for state in range(len(ways))]
    count = len(set(block))
    while True:
        seen: dict[tuple[int, frozenset[tuple[str, int]]], int] = {}
        new = []
        for state, onward in enumerate(ways):
            mark = (block[state], frozenset((w, block[to]) for w, to in onward.items()))
            new.append(seen.setdefault(mark, len(seen)))
        block = new
        if len(seen) == count:
            break
        count = len(seen)
    merged: dict[int, int] = {block[0]: 0}
    onwards: list[dict[str, int]] = []
    ends: set[int] = set()
    pending = [0]
    while pending:
        state = pending.pop(0)
        if state in finals:
            ends.add(len(onwards))
        onward = {}
        onwards.append(onward)
        for word in sorted(ways[state]):
            to = ways[state][word]
            if block[to] not in merged:
                merged[block[to]] = len(merged)
                pending.append(to)
            onward[word] = merged[block[to]]
    return Automaton(tuple(onwards), frozenset(ends))


@lru_cache(maxsize=256)
def automaton_of(jsgf: str) -> Automaton:
    """The automaton of a JSGF text's first public rule. Kept by text.

    Raises:
        GrammarError: the text is not JSGF, has no public rule, or allows no phrase.
    """
    grammar = read_jsgf(jsgf.lstrip())
    public = next((rule.name for rule in grammar.rules.values() if rule.public), None)
    if public is None:
        raise GrammarError("The grammar has no public rule; mark the one to listen for.")
    return automaton(Network(grammar, public))
