"""Whole phrases near a path that broke off before the end of one.

A recogniser's likeliest path may stop in the middle of a phrase, when what would end it was
drawn under by its beam. Half a phrase means nothing, or worse, something else.
"""

from __future__ import annotations

from collections.abc import Sequence

from assistant.language.automaton import Automaton

_MOST_BACK = 2  # words at the end of the path that may be wrong
_MOST_ON = 3  # words that may be missing
_MOST = 400  # phrases to choose among


def completions(
    words: Sequence[str], others: Sequence[str], phrases: Automaton
) -> Automaton | None:
    """The whole phrases that share all but the last words with ``words``, as an automaton.

    With one or two words that may mean any short phrase.
    ``others``: texts of other paths; those that are whole phrases are among them. None when
    there is no such phrase.
    """
    found = {tuple(text.split()) for text in others if phrases.accepts(text.split())}
    for back in range(_MOST_BACK + 1):
        if back > len(words):
            break
        kept = tuple(words[: len(words) - back])
        state = phrases.after(kept)
        if state is None:
            continue
        for said in phrases.endings(state, _MOST_ON):
            if len(found) >= _MOST:
                break
            found.add((*kept, *said))
    return _as_tree(found) if found else None


def _as_tree(phrases: set[tuple[str, ...]]) -> Automaton:
    """Exactly ``phrases``, sharing their beginnings."""
    onward: list[dict[str, int]] = [{}]
    ends = set()
    for phrase in sorted(phrases):
        state = 0
        for word in phrase:
            if word not in onward[state]:
                onward[state][word] = len(onward)
                onward.append({})
            state = onward[state][word]
        ends.add(state)
    return Automaton(tuple(onward), frozenset(ends))
