"""One PocketSphinx decoder that decodes an utterance while it comes in, always in the same way."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from assistant.language.automaton import Automaton
from assistant.speech.rejection import NATS_PER_UNIT, Span
from assistant.speech.types import Samples

_SCALE = 1 << 10  # the decoder keeps scores shifted right by ten bits
_CHUNK = 480  # samples given to the decoder at a time, whatever the blocks' length

_USUAL_MEAN = (42.6, 2.4, 0.0, 12.2, -3.5, -2.2, -0.7, -6.7, -1.5, -4.0, 3.6, -0.8, 0.6)
"""Cepstral mean of commands and readings in eight synthetic voices at -26 dBov."""
_TRUST = 50
"""Frames of sound that weigh as much as the usual mean."""


class Search:
    """A decoder in which one search at a time follows an utterance."""

    def __init__(self, decoder: Any) -> None:
        self.decoder = decoder
        self._rest: Samples = np.zeros(0, np.int16)
        self._scale = 1

    def begin(self, search: str, mean: Sequence[float], scaled: bool = False) -> None:
        """An utterance begins; ``mean`` is the cepstral mean to take off.

        ``scaled``: the search hands out its segments' scores scaled down, as that of phones does.
        """
        self._scale = _SCALE if scaled else 1
        self.decoder.activate_search(search)
        _forget_noise(self.decoder)
        self.decoder.set_cmn(",".join(f"{value:.3f}" for value in mean))
        self.decoder.start_utt()
        self._rest = self._rest[:0]

    def feed(self, samples: Samples) -> None:
        """Decode the next samples."""
        joined = np.concatenate((self._rest, samples))
        whole = len(joined) // _CHUNK * _CHUNK
        for at in range(0, whole, _CHUNK):
            self.decoder.process_raw(joined[at : at + _CHUNK].tobytes(), False, False)
        self._rest = joined[whole:]

    def text(self) -> str:
        """The words of the likeliest path up to now."""
        found = self.decoder.hyp()
        return " ".join(map(bare, found.hypstr.split())) if found and found.hypstr else ""

    def nats(self, score: float) -> float:
        """The log likelihood of a whole path, of which the decoder tells a scaled-down one."""
        if score <= 0.0:
            return -math.inf
        return float(self.decoder.get_logmath().log(score)) * NATS_PER_UNIT * _SCALE

    def finish(self) -> tuple[Span, ...]:
        """The utterance has ended; its segments."""
        if len(self._rest):
            self.decoder.process_raw(self._rest.tobytes(), False, False)
        self.decoder.end_utt()
        found = self.decoder.hyp()
        if found is None:
            return ()
        return _spans(self.decoder, found.score, self._scale)

    def let_go(self) -> None:
        """Give back what the last utterance was decoded into, once all of it has been read.

        The library keeps it until the same search hears something again; a session has a hundred
        searches, and twelve seconds of noise take some megabytes in each.
        """
        self.decoder.start_utt()
        self.decoder.end_utt()


def mean_of(search: Search, samples: Samples) -> tuple[float, ...]:
    """The cepstral mean of ``samples``, drawn towards the usual one where they are few.

    The whole utterance's own mean is not known while it is spoken, and is no better: of 72
    readings of seed 1 63 were right with it, 65 with this one of the first 0.6 s, and of 60
    digits spoken by people 29 against 35.
    """
    decoder = search.decoder
    _forget_noise(decoder)
    decoder.start_utt()
    decoder.process_raw(samples.tobytes(), True, True)
    decoder.end_utt()
    own = [float(value) for value in decoder.get_cmn(False).split(",")]
    count = len(samples) / 160
    return tuple(
        (count * value + _TRUST * usual) / (count + _TRUST)
        for value, usual in zip(own, _USUAL_MEAN, strict=True)
    )


def _forget_noise(decoder: Any) -> None:
    """The front end takes off the noise that it heard; what it heard in earlier utterances
    would make the same sound come out otherwise each time."""
    decoder.reinit_feat()


def network_of(decoder: Any, name: str, phrases: Automaton, last_resort: bool = False) -> None:
    """Give ``decoder`` a search called ``name`` for ``phrases``, every way equally likely.

    ``last_resort``: with a wide beam, and only paths that come to the end of a phrase. (The
    library's second pass over the lattice of words, which the usual search takes, may prefer one
    that does not.)
    """
    decoder.config["beam"] = decoder.config["pbeam"] = 1e-100 if last_resort else 1e-48
    decoder.config["wbeam"] = 1e-60 if last_resort else 7e-29
    decoder.config["bestpath"] = not last_resort
    end = len(phrases.onward)
    ways: list[tuple[int, int, float] | tuple[int, int, float, str]] = [
        (state, to, 1.0, word)
        for state, onward in enumerate(phrases.onward)
        for word, to in onward.items()
    ]
    ways += [(state, end, 1.0) for state in sorted(phrases.finals)]
    decoder.add_fsg(name, decoder.create_fsg(name, 0, end, ways))


def bare(word: str) -> str:
    """The word without the number of its pronunciation variant."""
    return word.split("(")[0]


def _spans(decoder: Any, score: float, scale: int) -> tuple[Span, ...]:
    """The segments of a decode.

    The library hands likelihoods out as plain numbers, and where they are not scaled down a long
    stretch of what was not said underflows to zero. The whole path's score is scaled down and
    survives; what it holds beyond the other segments is the lost ones'.
    """
    log = decoder.get_logmath()
    spans = list(_segments(decoder, scale))
    lost = sum(s.frames for s in spans if s.nats == -math.inf)
    if not lost:
        return tuple(spans)
    whole = log.log(score) * NATS_PER_UNIT * _SCALE if score > 0.0 else -1e6
    rest = whole - sum(s.nats for s in spans if s.nats != -math.inf)
    return tuple(
        replace(s, nats=rest * s.frames / lost) if s.nats == -math.inf else s for s in spans
    )


def _segments(decoder: Any, scale: int) -> Iterator[Span]:
    log = decoder.get_logmath()
    for s in decoder.seg() or ():
        if s.word not in ("(NULL)", "</s>"):  # a step without a word; the last word's score again
            nats = log.log(s.ascore) * NATS_PER_UNIT * scale if s.ascore > 0.0 else -math.inf
            yield Span(bare(s.word), s.start_frame, s.end_frame, nats)
