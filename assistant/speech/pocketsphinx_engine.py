"""PocketSphinx as an engine: a grammar decode, weighed against a free loop of phones."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import Any

import pocketsphinx

from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.speech.errors import SpeechError
from assistant.speech.lexicon import Pronunciations, load_lexicon
from assistant.speech.rejection import (
    MOST_ELSEWHERE,
    NATS_PER_UNIT,
    Evidence,
    Span,
    confidence,
    loud_elsewhere,
    word_confidence,
)
from assistant.speech.types import Utterance

FRAME_S = 0.01
"""Length of one acoustic frame, in seconds."""

_PHONE_LOOP = "any phones"
_SCALE = 1 << 10  # the decoder keeps scores shifted right by ten bits
_ALTERNATIVES = 4
_PATHS_TRIED = 60  # the list repeats the same words with other pauses many times over


class PocketSphinxEngine:
    """Listens for one JSGF grammar at a time with the English model in the wheel.

    ``lexicon``: pronunciations of words that the dictionary lacks. Grammars are cached by their
    text, so that switching between dialogue states costs nothing.
    """

    name = "pocketsphinx"

    def __init__(self, lexicon: Path | Pronunciations | None = None) -> None:
        model = Path(pocketsphinx.get_model_path()) / "en-us"
        # Whole utterances are at hand, so the cepstral mean is taken over each (batch). A low
        # word insertion probability keeps "forty" from falling apart into "four tea"-like pairs.
        self._decoder: Any = pocketsphinx.Decoder(
            pocketsphinx.Config(
                hmm=str(model / "en-us"),
                dict=str(model / "cmudict-en-us.dict"),
                lm=None,
                cmn="batch",
                wip=0.01,
                loglevel="FATAL",
            )
        )
        self._decoder.add_allphone_file(_PHONE_LOOP, str(model / "en-us-phone.lm.bin"))
        for word, variants in load_lexicon(lexicon).items():
            self._add(word, variants)
        self._known: set[str] = set()
        self._active: str | None = None

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar; ``words`` are all the words that it uses.

        Raises:
            SpeechError: a word has no pronunciation, or the grammar is not JSGF.
        """
        key = hashlib.sha256(jsgf.encode()).hexdigest()[:16]
        if key not in self._known:
            for word in words:
                if self._decoder.lookup_word(word) is None:
                    raise SpeechError(
                        f"The recogniser does not know how the word '{word}' sounds; add its "
                        "phones to the language's lexicon."
                    )
            try:
                self._decoder.add_jsgf_string(key, jsgf)
            except (RuntimeError, ValueError) as error:
                raise SpeechError(f"The recogniser cannot read this grammar: {error}.") from error
            self._known.add(key)
        self._active = key

    def recognise(self, utterance: Utterance) -> Recognition:
        """Decode ``utterance``; no hypotheses when nothing of the grammar was heard."""
        if self._active is None:
            raise SpeechError("The recogniser was given no grammar; take one up before listening.")
        raw = utterance.samples.tobytes()
        phones = self._decode(_PHONE_LOOP, raw)
        spans = self._decode(self._active, raw)
        words = [span for span in spans if not span.filler]
        if self._decoder.hyp() is None or not words:
            return Recognition((), self.name)
        if loud_elsewhere(utterance.samples, words) > MOST_ELSEWHERE:
            return Recognition((), self.name)
        evidence = Evidence.of(spans, phones)
        overall = confidence(evidence)
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
            overall,
        )
        return Recognition((best, *self._alternatives(best)), self.name)

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

    def _decode(self, search: str, raw: bytes) -> tuple[Span, ...]:
        decoder = self._decoder
        decoder.activate_search(search)
        decoder.start_utt()
        decoder.process_raw(raw, False, True)
        decoder.end_utt()
        if search == _PHONE_LOOP:
            return tuple(_spans(decoder, _SCALE))
        return _with_lost_scores(decoder, list(_spans(decoder, 1)))

    def _alternatives(self, best: Hypothesis) -> tuple[Hypothesis, ...]:
        """Other readings of the grammar decode, each once, with their share of the likelihood."""
        log = self._decoder.get_logmath()
        scores: dict[str, float] = {}
        for path in islice(self._decoder.nbest() or (), _PATHS_TRIED):
            if path is not None and path.hypstr:  # the list may hold a path that led nowhere
                scores.setdefault(path.hypstr, log.log(path.score))
        scores.pop(best.text, None)
        return tuple(
            Hypothesis(tuple(Word(_bare(w)) for w in text.split()), 0.0)
            for text in list(scores)[:_ALTERNATIVES]
        )


def _spans(decoder: Any, scale: int) -> Iterator[Span]:
    """The segments of a decode. Phone segments' scores come scaled down, a grammar's do not."""
    log = decoder.get_logmath()
    for s in decoder.seg() or ():
        if s.word != "</s>":  # repeats the score of the last word
            nats = log.log(s.ascore) * NATS_PER_UNIT * scale if s.ascore > 0.0 else -math.inf
            yield Span(_bare(s.word), s.start_frame, s.end_frame, nats)


def _with_lost_scores(decoder: Any, spans: list[Span]) -> tuple[Span, ...]:
    """Put back the scores of segments too unlikely for a floating point number.

    The library hands likelihoods out as plain numbers, and a long stretch of what was not said
    underflows to zero. The whole path's score is scaled down and survives; what it holds beyond
    the other segments is the lost ones'.
    """
    lost = sum(s.frames for s in spans if s.nats == -math.inf)
    if not lost:
        return tuple(spans)
    whole = decoder.get_logmath().log(decoder.hyp().score) * NATS_PER_UNIT * _SCALE
    rest = whole - sum(s.nats for s in spans if s.nats != -math.inf)
    return tuple(
        replace(s, nats=rest * s.frames / lost) if s.nats == -math.inf else s for s in spans
    )


def _variant(word: str, number: int) -> str:
    return word if number == 1 else f"{word}({number})"


def _bare(word: str) -> str:
    """The word without the number of its pronunciation variant."""
    return word.split("(")[0]
