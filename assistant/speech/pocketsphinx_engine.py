"""PocketSphinx as an engine: a grammar decode, weighed against a free loop of phones."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import replace
from itertools import islice
from math import isfinite
from pathlib import Path
from typing import Any

import numpy as np
import pocketsphinx

from assistant.language.automaton import Automaton, automaton_of
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.language.tree import GrammarError
from assistant.speech.errors import SpeechError
from assistant.speech.lexicon import Pronunciations, load_lexicon
from assistant.speech.rejection import (
    MOST_ELSEWHERE,
    Evidence,
    Span,
    confidence,
    loud_elsewhere,
    word_confidence,
)
from assistant.speech.sphinx_search import Search, bare, mean_of, network_of
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance
from assistant.speech.unfinished import completions

FRAME_S = 0.01
"""Length of one acoustic frame, in seconds."""

_PHONE_LOOP = "any phones"
_COMPLETED = "completed"
_ALTERNATIVES = 8
_PATHS_TRIED = 200  # the list repeats the same words with other pauses many times over
_FIRST = SAMPLE_RATE * 6 // 10  # sound heard before decoding begins, for the cepstral mean


class PocketSphinxEngine:
    """Listens for one JSGF grammar at a time with the English model in the wheel.

    ``lexicon``: pronunciations of words that the dictionary lacks. ``adaptation``: a file of mean
    transforms (MLLR) for one speaker. Grammars are cached by their text, so that switching between
    dialogue states costs nothing. It hears along: see :class:`~assistant.speech.along.HearsAlong`.

    The grammar is searched as its minimal automaton with every way onward equally likely; a word
    costs as much as ``wip`` says. So no copies of a number compete with each other, and no phrase
    is less likely than another because more rules were written around it.
    """

    name = "pocketsphinx"

    def __init__(
        self, lexicon: Path | Pronunciations | None = None, adaptation: Path | None = None
    ) -> None:
        model = Path(pocketsphinx.get_model_path()) / "en-us"
        shared = {"hmm": str(model / "en-us"), "lm": None, "lw": 1.0, "loglevel": "FATAL"}
        if adaptation is not None:
            shared["mllr"] = str(adaptation)
        # The word cost keeps "forty" from falling apart into "four tea"-like pairs and digits
        # from being heard in breath and silence.
        self._decoder: Any = pocketsphinx.Decoder(
            pocketsphinx.Config(
                **shared, dict=str(model / "cmudict-en-us.dict"), wip=1e-13, compallsen=True
            )
        )
        loop: Any = pocketsphinx.Decoder(pocketsphinx.Config(**shared, dict=None, compallsen=True))
        loop.add_allphone_file(_PHONE_LOOP, str(model / "en-us-phone.lm.bin"))
        loop.activate_search(_PHONE_LOOP)
        for word, variants in load_lexicon(lexicon).items():
            self._add(word, variants)
        self._words = Search(self._decoder)
        self._phones = Search(loop)
        self._known: dict[str, Automaton] = {}
        self._active: str | None = None
        self._sound: list[Samples] | None = None  # fed since begin
        self._decoded = False  # whether the searches run
        self._warm = False

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar; ``words`` are all the words that it uses.

        Raises:
            SpeechError: a word has no pronunciation, or the grammar is not JSGF.
        """
        key = hashlib.sha256(jsgf.encode()).hexdigest()[:16]
        if key == self._active:
            return
        self._forget()
        if key not in self._known:
            for word in words:
                if self._decoder.lookup_word(word) is None:
                    raise SpeechError(
                        f"The recogniser does not know how the word '{word}' sounds; add its "
                        "phones to the language's lexicon."
                    )
            try:
                phrases = automaton_of(jsgf)
            except GrammarError as error:
                raise SpeechError(f"The recogniser cannot read this grammar: {error}") from error
            network_of(self._decoder, key, phrases)
            self._known[key] = phrases
        self._active = key
        if not self._warm:
            self._warm_up()

    def begin(self) -> None:
        """An utterance begins."""
        self._forget()
        self._sound = []

    def feed(self, samples: Samples) -> None:
        """The next samples of it."""
        if self._sound is None or self._active is None:
            return
        self._sound.append(samples)
        if self._decoded:
            self._words.feed(samples)
            self._phones.feed(samples)
        elif sum(map(len, self._sound)) >= _FIRST:
            self._start(np.concatenate(self._sound))

    def so_far(self) -> str:
        """The words heard up to now."""
        return self._words.text() if self._decoded else ""

    def recognise(self, utterance: Utterance) -> Recognition:
        """Decode ``utterance``; no hypotheses when nothing of the grammar was heard."""
        if self._active is None:
            raise SpeechError("The recogniser was given no grammar; take one up before listening.")
        found = self._recognised(utterance, self._known[self._active])
        self._let_go()
        return found

    def _recognised(self, utterance: Utterance, phrases: Automaton) -> Recognition:
        self._catch_up(utterance.samples)
        so_far = self._words.text()
        spans, phones = self._words.finish(), self._phones.finish()
        self._phones.let_go()
        words = [span for span in spans if not span.filler]
        others = self._alternatives() if words else {}
        broken = False
        said = [span.label for span in words] or so_far.split()
        if said and not (words and phrases.accepts(said)):
            # The likeliest path broke off before the end of a phrase, or no path came to its end.
            broken = True
            spans = self._completed(utterance.samples, said, list(others), phrases)
            words = [span for span in spans if not span.filler]
        elsewhere = loud_elsewhere(utterance.samples, words)
        if not words or elsewhere > MOST_ELSEWHERE:
            return Recognition((), self.name)
        best = Hypothesis(
            tuple(
                Word(
                    span.label,
                    utterance.start_s + span.first * FRAME_S,
                    utterance.start_s + (span.last + 1) * FRAME_S,
                    word_confidence(span, phones),
                )
                for span in words
            ),
            confidence(Evidence.of(spans, phones, broken, elsewhere)),
        )
        # A path found at the second attempt, with a wider beam, does not compare with the first's.
        ahead = None if broken else others.get(best.text)
        if ahead is not None and not isfinite(ahead):
            ahead = None  # too unlikely for the library's numbers
        best = replace(best, behind=None if ahead is None else 0.0)
        rest = [t for t in others if t != best.text and phrases.accepts(t.split())]
        alternatives = tuple(
            Hypothesis(
                tuple(map(Word, text.split())),
                0.0,
                None if ahead is None else ahead - others[text],
            )
            for text in rest[:_ALTERNATIVES]
        )
        return Recognition((best, *alternatives), self.name)

    def _catch_up(self, samples: Samples) -> None:
        """Decode what of ``samples`` was not decoded while it was spoken."""
        fed = np.concatenate(self._sound) if self._sound else samples[:0]
        if self._sound is None or not np.array_equal(fed, samples[: len(fed)]):
            self.begin()
            fed = samples[:0]
        self.feed(samples[len(fed) :])
        if not self._decoded:
            self._start(samples)

    def _warm_up(self) -> None:
        """Decode a moment of noise in every way there is.

        The decoders then have read the whole acoustic model and have their tables: 11.9 MB, which
        would else be the first noise's after a quiet hour.
        """
        noise = np.random.default_rng(1).normal(0.0, 1000.0, _FIRST).astype(np.int16)
        self._start(noise)
        self._forget()
        self._completed(noise, [], [], self._known[self._active or ""])
        self._alternatives()
        self._let_go()
        self._warm = True

    def _start(self, samples: Samples) -> None:
        mean = mean_of(self._phones, samples[:_FIRST])
        self._words.begin(self._active or "", mean)
        self._phones.begin(_PHONE_LOOP, mean, scaled=True)
        self._words.feed(samples)
        self._phones.feed(samples)
        self._decoded = True

    def _forget(self) -> None:
        """Leave an utterance that was being followed."""
        if self._decoded:
            self._words.finish()
            self._phones.finish()
            self._let_go()
        self._sound = None

    def _let_go(self) -> None:
        """What was decoded has been read."""
        self._words.let_go()
        self._phones.let_go()
        if self._decoder.current_search() == _COMPLETED:
            self._decoder.activate_search(self._active)
            self._decoder.remove_search(_COMPLETED)
        self._sound, self._decoded = None, False

    def _completed(
        self, samples: Samples, words: list[str], others: list[str], phrases: Automaton
    ) -> tuple[Span, ...]:
        """A decode of ``samples`` among the whole phrases closest to a broken-off path."""
        choice = completions(words, others, phrases)
        if choice is None:
            return ()
        self._words.let_go()
        network_of(self._decoder, _COMPLETED, choice, last_resort=True)
        self._words.begin(_COMPLETED, mean_of(self._phones, samples[:_FIRST]), scaled=True)
        self._words.feed(samples)
        spans = self._words.finish()
        whole = choice.accepts(s.label for s in spans if not s.filler)
        return spans if whole else ()

    def _add(self, word: str, variants: Iterable[str]) -> None:
        """Add pronunciations after those that the dictionary has already."""
        number = 1
        for phones in variants:
            while (known := self._decoder.lookup_word(_variant(word, number))) is not None:
                if known == phones:
                    break
                number += 1
            else:
                self._decoder.add_word(_variant(word, number), phones, False)

    def _alternatives(self) -> dict[str, float]:
        """Texts of the likeliest paths of the grammar decode, and the likelihood of each in nats.

        They are whole phrases and beginnings of such.
        """
        texts: dict[str, float] = {}
        for path in islice(self._decoder.nbest() or (), _PATHS_TRIED):
            if path is not None and path.hypstr:  # the list may hold a path that led nowhere
                text = " ".join(map(bare, path.hypstr.split()))
                texts.setdefault(text, self._words.nats(path.score))
        return texts


def _variant(word: str, number: int) -> str:
    return word if number == 1 else f"{word}({number})"
