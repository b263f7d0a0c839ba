"""A Whisper model as an engine: it hears anything, so it only ever confirms another listener."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from importlib.util import find_spec
from math import exp, inf
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.language.hypothesis import Hypothesis, Recognition, Weighed, Word
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance
from assistant.speech.whisper_prompt import prompt_from
from assistant.speech.whisper_text import plain, said_once, snapped
from assistant.speech.whisper_tokens import mended
from assistant.speech.whisper_tree import Look, Opening, TreeDecoder
from assistant.speech.whisper_weights import read_weights
from assistant.speech.written_forms import written_forms
from assistant.speech.written_numbers import DIGITS

_FRAMES_PER_S = 100
_BESIDE = 3  # other tokens looked at in each place
_FIGURES = re.compile(r" ?\d+", re.ASCII)


@dataclass(frozen=True)
class WhisperSettings:
    """How a Whisper model decodes.

    ``shortest_s``: at least so much sound, quiet included, is encoded; below about 8 s the model
    falls into repetitions. ``longest_s``: what comes later is not listened to. ``beam``: width
    of the search. ``written``: how many transcripts are looked at. ``no_repeat``: no run of so
    many tokens occurs twice. ``lead_s``: silence put before the sound, for utterances cut close.
    ``threads``: processor threads.
    """

    shortest_s: int = 8
    longest_s: int = 13
    beam: int = 3
    written: int = 3
    no_repeat: int = 3
    lead_s: float = 0.2
    threads: int = 2


class WhisperEngine:
    """A model folder in CTranslate2 form, held in eight-bit numbers.

    Whisper writes something even for noise: use it beside a grammar engine (TwoListeners), not
    alone. ``prompt`` makes the prompt out of a grammar's JSGF text.
    """

    name = "whisper"

    def __init__(
        self,
        model_folder: Path,
        settings: WhisperSettings | None = None,
        prompt: Callable[[str], str] = prompt_from,
    ) -> None:
        must_be_there(model_folder)
        import ctranslate2
        from faster_whisper import WhisperModel
        from faster_whisper.tokenizer import Tokenizer

        self._settings = settings or WhisperSettings()
        self._array: Callable[[Any], Any] = ctranslate2.StorageView.from_array
        try:
            self._model: Any = WhisperModel(
                str(model_folder),
                device="cpu",
                compute_type="int8",
                cpu_threads=self._settings.threads,
                local_files_only=True,
            )
            tokenizer = mended(self._model.hf_tokenizer)
        except Exception as fault:  # the tokenizer's library has no error of its own to name
            raise SpeechError(
                f"The Whisper model in {model_folder} cannot be read; fetch it again with "
                "'python -m assistant.models fetch whisper-base'."
            ) from fault
        self._tokens: Any = Tokenizer(
            tokenizer,
            self._model.model.is_multilingual,
            task="transcribe",
            language="en",
        )
        self._beside = ThreadPoolExecutor(1, thread_name_prefix="tree")
        self._tree = self._beside.submit(_tree_of, model_folder / "model.bin")
        self._make_prompt = prompt
        self._prompts: dict[str, list[int]] = {}
        self._start: list[int] = []
        self._words: frozenset[str] = frozenset()
        self._view: _View | None = None
        self._looked: _Looked | None = None
        self._number_tokens = np.array(
            [token for token in range(self._tokens.eot) if _is_number(self._tokens.decode([token]))]
        )

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar: its phrases become the prompt, its words the vocabulary."""
        if jsgf not in self._prompts:
            self._prompts[jsgf] = self._opening(self._make_prompt(jsgf))
        self._start = self._prompts[jsgf]
        self._words = frozenset(words)
        self._view = self._looked = None

    def recognise(self, utterance: Utterance) -> Recognition:
        """Write down ``utterance``, with figures, in the grammar's words where they are close.

        The hypotheses are the likeliest transcripts, each once.
        """
        view = self._view_of(utterance)
        result = self._model.model.generate(
            view.encoded,
            [self._start],
            beam_size=self._settings.beam,
            num_hypotheses=self._settings.written,
            no_repeat_ngram_size=self._settings.no_repeat,
            max_length=len(self._start) + _most_tokens(utterance),
            return_scores=True,
        )[0]
        found: dict[str, Hypothesis] = {}
        for tokens, score in zip(result.sequences_ids, result.scores, strict=True):
            text = snapped(plain(said_once(self._tokens.decode(tokens))), self._words)
            sure = exp(min(0.0, score))
            words = tuple(Word(w, utterance.start_s, utterance.end_s, sure) for w in text.split())
            if text:
                found.setdefault(text, Hypothesis(words, sure))
        return Recognition(tuple(found.values()), self.name)

    def weigh(self, utterance: Utterance, texts: Sequence[str]) -> list[float]:
        """Log likelihood of each of ``texts`` given the sound, in nats.

        Each is taken in the ways in which the model may write it, of which the likeliest counts,
        and ends with a full stop, so that the beginning of a longer phrase does not pass for a
        whole one; after a figure, where that may be a decimal point, with the end of the text too.
        """
        forms = [(i, form) for i, text in enumerate(texts) for form in written_forms(text)]
        tokens = [
            self._tokens.encode(f" {form}.") + [self._tokens.eot] * form[-1:].isdigit()
            for _, form in forms
        ]
        best = [-inf] * len(texts)
        look = self._tree.result().look(self._view_of(utterance).opening.result(), tokens)
        for (index, _), nats in zip(forms, look.nats, strict=True):
            best[index] = max(best[index], nats)
        self._looked = _Looked(look, tuple(texts[index] for index, _ in forms))
        return best

    def numbers_beside(self, text: str) -> list[Weighed]:
        """Other numbers that the model held for likely where ``text``, weighed last, has its own.

        Each differs from it in one token, as the model writes numbers.
        """
        if self._looked is None:
            return []
        look, owners = self._looked.look, self._looked.owners
        own = [index for index, owner in enumerate(owners) if owner == text]
        if not own:
            return []
        likeliest = max(own, key=lambda index: look.nats[index])
        return [
            Weighed(plain(self._tokens.decode(tokens)), nats)
            for tokens, nats in look.instead(likeliest, self._number_tokens, _BESIDE)
        ]

    def _opening(self, prompt: str) -> list[int]:
        before = [self._tokens.sot_prev, *self._tokens.encode(f" {prompt}")] if prompt else []
        return [*before, *self._tokens.sot_sequence, self._tokens.no_timestamps]

    def _view_of(self, utterance: Utterance) -> _View:
        """The sound as the model sees it; kept for the utterance heard last."""
        sound = utterance.attended
        if self._view is not None and np.array_equal(self._view.sound, sound):
            return self._view
        encoded = self._encode(sound)
        # Done beside the transcript, which does not need it.
        opening = self._beside.submit(self._open, np.array(encoded)[0], self._start)
        self._view = _View(sound, encoded, opening)
        return self._view

    def _open(self, encoded: NDArray[np.float32], start: list[int]) -> Opening:
        return self._tree.result().open(encoded, start)

    def _encode(self, sound: Samples) -> Any:
        lead = round(self._settings.lead_s * SAMPLE_RATE)
        needed = -(-(lead + len(sound)) // SAMPLE_RATE)
        seconds = min(self._settings.longest_s, max(self._settings.shortest_s, needed))
        padded = np.zeros(seconds * SAMPLE_RATE, np.float32)
        heard = sound[: len(padded) - lead].astype(np.float32) / 32768
        padded[lead : lead + len(heard)] = heard
        features = self._model.feature_extractor(padded, padding=0)
        frames = np.ascontiguousarray(features[None, :, : seconds * _FRAMES_PER_S])
        return self._model.model.encode(self._array(frames))


def must_be_there(model_folder: Path) -> None:
    """Raises:
    SpeechError: ``model_folder`` holds no model, or its library is not installed.
    """
    # The library would look for a missing tokenizer on the network.
    if not all((model_folder / name).is_file() for name in ("model.bin", "tokenizer.json")):
        raise SpeechError(
            f"{model_folder} holds no Whisper model; fetch one with "
            "'python -m assistant.models fetch whisper-base'."
        )
    if find_spec("faster_whisper") is None:
        raise SpeechError(
            "The second listener's library is missing; install the extra 'whisper' of "
            "assembly-assistant."
        )


@dataclass(frozen=True, eq=False)
class _View:
    """A sound, its encoding in the library's form, and the tree decoder's opening of it."""

    sound: Samples
    encoded: Any
    opening: Future[Opening]


@dataclass(frozen=True, eq=False)
class _Looked:
    """What was weighed last, and which text each of its written forms belongs to."""

    look: Look
    owners: tuple[str, ...]


def _is_number(written: str) -> bool:
    """Whether a token stands for digits, in figures or as the word for one."""
    return bool(_FIGURES.fullmatch(written)) or written.strip().lower() in DIGITS


def _tree_of(path: Path) -> TreeDecoder:
    return TreeDecoder(read_weights(path))


def _most_tokens(utterance: Utterance) -> int:
    """More tokens than anybody says in the time; the model else repeats itself in the quiet."""
    return 8 + round(6 * len(utterance.attended) / SAMPLE_RATE)
