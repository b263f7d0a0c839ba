"""The decoder against CTC's definition, worked out by hand over every way to label the frames.

Graves, Fernandez, Gomez and Schmidhuber, "Connectionist Temporal Classification" (2006), section
3.1: a labelling of the frames stands for the string that is left when repeats are merged and then
blanks removed; a string's probability is the sum over all its labellings.
"""

from __future__ import annotations

import math
from itertools import groupby, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.language.automaton import automaton_of
from assistant.speech.ear.features import Matrix
from assistant.speech.ear.graph import graph_of
from assistant.speech.ear.likelihood import log_likelihoods
from assistant.speech.ear.paths import best_beginning, best_phrases
from assistant.speech.ear.posteriors import LABELS
from assistant.speech.ear.viterbi import trellis
from tests.language.whole_phrases import accepts

# Words that begin as others end, words of equal phones in a row, a word inside another, twins.
SOUNDS = {
    "ma": (("M", "AA"),),
    "am": (("AA", "M"),),
    "mam": (("M", "AA", "M"), ("M", "M")),
    "a": (("AA",),),
    "m": (("M",), ("AA", "AA")),
}
GRAMMARS = (
    "ma | am | mam",
    "a+",
    "m+ [a]",
    "[m] (a | ma) | am m",
    "(ma | am | a | m | mam)+",
    "(a m)+ | a ma",
)
USED = (0, LABELS["AA"], LABELS["M"])
MOST_FRAMES = 6


def jsgf(body: str) -> str:
    return f"#JSGF V1.0; grammar g; public <g> = {body};"


def said_by(labels: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(label for label, _ in groupby(labels) if label != 0)


def ways(text: tuple[str, ...]) -> list[tuple[int, ...]]:
    """Every way to say a phrase, as labels; two that come out the same stay apart.

    An M that ends one word and begins the next may be said once.
    """
    found: list[tuple[int, ...]] = [()]
    for word in text:
        ways = [tuple(LABELS[p] for p in phones) for phones in SOUNDS[word]]
        once = [
            (*before, *way[1:])
            for before in found
            for way in ways
            if before and before[-1] == way[0] == LABELS["M"] and len(way) > 1
        ]
        found = [(*before, *way) for before in found for way in ways] + once
    return found


def strings(text: tuple[str, ...]) -> set[tuple[int, ...]]:
    """Every string of labels that a phrase may be said as."""
    return set(ways(text))


def phrases(body: str, longest: int) -> list[tuple[str, ...]]:
    phrases = automaton_of(jsgf(body))
    words = [w for n in range(1, longest + 1) for w in product(SOUNDS, repeat=n)]
    return [text for text in words if accepts(phrases, text)]


def labellings(posteriors: Matrix) -> dict[tuple[int, ...], list[float]]:
    """String -> the log probability of each of its labellings by the labels that are used."""
    found: dict[tuple[int, ...], list[float]] = {}
    for labels in product(USED, repeat=len(posteriors)):
        nats = sum(float(posteriors[t, label]) for t, label in enumerate(labels))
        found.setdefault(said_by(labels), []).append(nats)
    return found


@st.composite
def sounds_heard(draw: st.DrawFn) -> Matrix:
    count = draw(st.integers(1, MOST_FRAMES))
    rng = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    chances = np.full((count, len(LABELS) + 1), 1e-9)
    chances[:, USED] = rng.dirichlet(np.full(3, draw(st.sampled_from((0.1, 0.5, 2.0)))), count)
    chances = np.maximum(chances, 1e-9)
    nats: Matrix = np.log(chances / chances.sum(axis=1, keepdims=True)).astype(np.float32)
    return nats


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(GRAMMARS), sounds_heard())
def test_the_best_path_is_the_best_of_all_labellings(body: str, posteriors: Matrix) -> None:
    known = labellings(posteriors)
    best = {
        text: max((n for s in strings(text) for n in known.get(s, ())), default=-math.inf)
        for text in phrases(body, len(posteriors))
    }
    top = max(best.values(), default=-math.inf)
    found = trellis(graph_of(automaton_of(jsgf(body)), SOUNDS), posteriors)
    paths = best_phrases(found, 1, 1.0)
    if top == -math.inf:
        assert not paths
        return
    assert found.best == pytest.approx(top, abs=1e-3)
    assert paths[0].nats == pytest.approx(top, abs=1e-2)
    assert best[paths[0].text] == pytest.approx(top, abs=1e-2)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(GRAMMARS), sounds_heard())
def test_a_phrase_is_as_likely_as_the_sum_of_its_labellings(body: str, posteriors: Matrix) -> None:
    known = labellings(posteriors)
    texts = phrases(body, 3)
    for text, nats in zip(texts, log_likelihoods(texts, posteriors, SOUNDS), strict=True):
        chance = sum(math.exp(n) for s in ways(text) for n in known.get(s, ()))
        assert math.exp(nats) == pytest.approx(chance, rel=1e-6, abs=1e-30)


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(GRAMMARS), sounds_heard())
def test_phrases_compared_are_of_the_grammar_and_scored_along_real_paths(
    body: str, posteriors: Matrix
) -> None:
    known = labellings(posteriors)
    best = {
        text: max((n for s in strings(text) for n in known.get(s, ())), default=-math.inf)
        for text in phrases(body, len(posteriors))
    }
    found = trellis(graph_of(automaton_of(jsgf(body)), SOUNDS), posteriors)
    paths = best_phrases(found, 1000, 200.0)
    assert len({path.text for path in paths}) == len(paths)
    for path in paths:
        assert path.nats <= best[path.text] + 1e-2


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(GRAMMARS), sounds_heard())
def test_words_stand_in_their_order_and_explain_their_frames(body: str, posteriors: Matrix) -> None:
    found = trellis(graph_of(automaton_of(jsgf(body)), SOUNDS), posteriors)
    for path in best_phrases(found, 20, 50.0):
        edges = [edge for word in path.words for edge in (word.first, word.last)]
        assert edges == sorted(edges)
        assert edges[0] >= 0
        assert edges[-1] < len(posteriors)
        assert all(a.last < b.first for a, b in zip(path.words, path.words[1:], strict=False))
        # The blanks outside the words and the words themselves add up to the whole.
        inside = {t for w in path.words for t in range(w.first, w.last + 1)}
        rest = sum(float(posteriors[t, 0]) for t in range(len(posteriors)) if t not in inside)
        assert rest + sum(w.nats for w in path.words) == pytest.approx(path.nats, abs=1e-2)
        beginning = best_beginning(found)
        assert automaton_of(jsgf(body)).after(beginning) is not None


def test_sums_survive_long_sound() -> None:
    """Twelve seconds in which nearly nothing fits: no phrase's likelihood is lost to rounding."""
    rng = np.random.default_rng(1)
    chances = rng.dirichlet(np.full(len(LABELS) + 1, 0.02), 600) * 0.9999 + 0.0001 / 41
    posteriors = np.log(chances).astype(np.float32)
    texts = [("ma",), ("ma", "am", "mam") * 2, ("a",) * 30]
    nats = log_likelihoods(texts, posteriors, SOUNDS)
    # The same in logarithms all the way, one phrase at a time, first pronunciations and second.
    for text, got in zip(texts, nats, strict=True):
        assert got == pytest.approx(_by_logarithms(text, posteriors), abs=1e-6)


def _by_logarithms(text: tuple[str, ...], posteriors: Matrix) -> float:
    """The forward recursion of the paper's equations 6 and 7, summed over pronunciations."""
    rows = posteriors.astype(np.float64)
    total = -np.inf
    for string in ways(text):
        labels = [0]
        for label in string:
            labels += [label, 0]
        alpha = np.full(len(labels), -np.inf)
        alpha[0], alpha[1] = rows[0, 0], rows[0, labels[1]]
        for row in rows[1:]:
            new = alpha.copy()
            new[1:] = np.logaddexp(new[1:], alpha[:-1])
            for s in range(3, len(labels), 2):
                if labels[s] != labels[s - 2]:
                    new[s] = np.logaddexp(new[s], alpha[s - 2])
            alpha = new + row[labels]
        total = np.logaddexp(total, np.logaddexp(alpha[-1], alpha[-2]))
    return float(total)
