"""Which commands sound alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.language.confusables import PHRASES_NEAR, Pronunciations, phrase_unlikeness


def confusable_pairs(
    phrases: Mapping[str, Sequence[str]], sounds: Pronunciations
) -> list[tuple[str, str, float]]:
    """Pairs of phrases of different ids that sound too close, closest first."""
    known = [(key, phrase) for key, group in phrases.items() for phrase in group]
    found = [
        (one, other, apart)
        for index, (key, one) in enumerate(known)
        for key2, other in known[:index]
        if key != key2 and (apart := phrase_unlikeness(one, other, sounds)) <= PHRASES_NEAR
    ]
    return sorted(found, key=lambda pair: pair[2])
