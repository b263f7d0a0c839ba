"""Where stretches must be set beside phrases, each is heard once in each grammar."""

from __future__ import annotations

from collections import Counter

import numpy as np

from assistant.fitting.matching import match
from assistant.fitting.taking import Checker
from assistant.fitting.words import load_words
from assistant.language import Language
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.speech.types import Utterance

LANGUAGE = Language.load("en-US")
ASKED = load_words(LANGUAGE, "en-US").asked


class Knowing:
    """Hears in each stretch what was said in it, where its grammar has it; counts."""

    name = "knowing"

    def __init__(self) -> None:
        self.heard: Counter[tuple[str, float]] = Counter()
        self._jsgf = ""

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        self._jsgf = jsgf

    def recognise(self, utterance: Utterance) -> Recognition:
        self.heard[self._jsgf, utterance.start_s] += 1
        text = ASKED[int(utterance.start_s)].text
        words = tuple(Word(w, 0.0, 0.0, 1.0) for w in text.split())
        return Recognition((Hypothesis(words, 1.0),), "knowing")


def test_no_pair_of_grammar_and_stretch_is_heard_twice() -> None:
    engine = Knowing()
    checker = Checker(engine, LANGUAGE)
    left_out = 7
    stretches = [
        Utterance(np.zeros(160, np.int16), float(n), n + 0.01)
        for n in range(len(ASKED))
        if n != left_out
    ]
    said = Recognition((Hypothesis((Word(ASKED[0].text, 0.0, 0.0, 1.0),), 1.0),), "knowing")
    checker.remember(ASKED[0], stretches[0], said)
    pairs = match(
        len(ASKED), len(stretches), lambda p, s: checker.again(ASKED[p], [stretches[s]]).right
    )
    assert pairs is not None
    takes = [None if s is None else checker.again(ASKED[p], [stretches[s]]) for p, s in
             enumerate(pairs)]  # fmt: skip
    assert [t is None for t in takes] == [n == left_out for n in range(len(ASKED))]
    assert all(t.right for t in takes if t is not None)
    assert set(engine.heard.values()) == {1}
    first = {jsgf for jsgf, start in engine.heard if start == 0.0}
    assert all(ASKED[0].task.jsgf != jsgf for jsgf in first)
