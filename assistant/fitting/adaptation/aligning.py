"""Which frame of an utterance belongs to which state of the model, given its words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
import pocketsphinx

from assistant.fitting.adaptation.acoustic_model import Floats, bundled_model, model_folder
from assistant.speech.lexicon import Pronunciations, load_lexicon
from assistant.speech.sphinx_search import Search, mean_of
from assistant.speech.types import SAMPLE_RATE, Samples

_FIRST = SAMPLE_RATE * 6 // 10  # the engine takes the cepstral mean over so much sound
_REACH = 3  # frames before and after that a frame's differences look at
_SILENCES = {"SIL", "+NSN+", "+SPN+"}


@dataclass(frozen=True)
class Stretch:
    """Frames ``features`` (frames x streams x 13) in one state: a phone's codebook, a senone."""

    phone: int
    senone: int
    features: Floats


class Aligner:
    """Forced alignment with the bundled model, over features as the engine computes them."""

    def __init__(self, lexicon: Path | Pronunciations | None = None) -> None:
        self._phones = {name: n for n, name in enumerate(bundled_model().phones)}
        self._logs = TemporaryDirectory(prefix="cepstra")
        self._decoder: Any = pocketsphinx.Decoder(
            pocketsphinx.Config(
                hmm=str(model_folder() / "en-us"),
                dict=str(model_folder() / "cmudict-en-us.dict"),
                lm=None,
                mfclogdir=self._logs.name,
                loglevel="FATAL",
            )
        )
        for word, variants in load_lexicon(lexicon).items():
            self._add(word, list(variants))

    def align(self, samples: Samples, text: str) -> tuple[Stretch, ...]:
        """The states of ``text`` in ``samples``, silence left out; none when it does not fit."""
        decoder = self._decoder
        try:
            decoder.set_align_text(text)
        except (RuntimeError, ValueError):
            return ()  # a word of it is in no dictionary
        mean = mean_of(Search(decoder), samples[:_FIRST])
        self._decode(samples, mean)
        if decoder.hyp() is None:
            return ()
        decoder.set_alignment()
        features = features_of(self._decode(samples, mean), mean)
        alignment = decoder.get_alignment()
        names = [phone.name for phone in alignment.phones()]
        states = [(int(s.name), s.start, s.duration) for s in alignment.states()]
        each = len(states) // len(names)
        return tuple(
            Stretch(self._phones[names[n // each]], senone, features[start : start + length])
            for n, (senone, start, length) in enumerate(states)
            if names[n // each] not in _SILENCES and start + length <= len(features)
        )

    def _decode(self, samples: Samples, mean: Sequence[float]) -> Floats:
        """Run the search of the moment; the cepstra that it worked on, frames x 13."""
        for old in Path(self._logs.name).iterdir():
            old.unlink()
        self._decoder.reinit_feat()  # forgets earlier utterances' noise, as the engine does
        self._decoder.set_cmn(",".join(f"{value:.3f}" for value in mean))
        self._decoder.start_utt()
        self._decoder.process_raw(samples.tobytes(), False, False)
        self._decoder.end_utt()
        (log,) = Path(self._logs.name).iterdir()
        # A Sphinx feature file: a count of values, then 32-bit floats, most significant byte first.
        return np.frombuffer(log.read_bytes()[4:], ">f4").reshape(-1, 13).astype(np.float64)

    def _add(self, word: str, variants: list[str]) -> None:
        number = 1
        for phones in variants:
            name = word
            while (known := self._decoder.lookup_word(name)) not in (None, phones):
                number += 1
                name = f"{word}({number})"
            if known is None:
                self._decoder.add_word(name, phones, False)


def features_of(cepstra: Floats, mean: Sequence[float]) -> Floats:
    """Cepstra without their mean, and their first and second differences: frames x 3 x 13.

    As the model's feature kind "1s_c_d_dd" defines them: over two frames to either side, and
    the difference of that over one.
    """
    centred = cepstra - np.asarray(mean)
    padded = np.pad(centred, ((_REACH, _REACH), (0, 0)), mode="edge")

    def at(shift: int) -> Floats:
        return padded[_REACH + shift : _REACH + shift + len(centred)]

    first = at(2) - at(-2)
    second = (at(3) - at(-1)) - (at(1) - at(-3))
    return np.stack([centred, first, second], axis=1)
