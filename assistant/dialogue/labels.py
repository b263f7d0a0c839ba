"""Several labels in words: what they all begin with is said once."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile


def listed(labels: Sequence[str]) -> str:
    """``bolt one, bolt three`` as ``bolt one, three``; nothing is left out of any other list."""
    words = [label.split() for label in labels]
    if len(words) < 2 or not all(words):
        return ", ".join(labels)
    alike = takewhile(lambda column: len(set(column)) == 1, zip(*words, strict=False))
    shared = min(len(list(alike)), min(map(len, words)) - 1)
    return ", ".join([labels[0], *(" ".join(label[shared:]) for label in words[1:])])
