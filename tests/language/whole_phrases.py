"""Whether words are a whole phrase of an automaton, and not only the beginning of one."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.language.automaton import Automaton


def accepts(machine: Automaton, words: Iterable[str]) -> bool:
    """Whether ``words`` are a whole phrase."""
    return machine.after(words) in machine.finals
