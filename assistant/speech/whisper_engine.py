"""A Whisper model as an engine: it hears anything, so it only ever confirms another listener."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from math import exp, log
from pathlib import Path
from typing import Any

import numpy as np

from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Utterance
from assistant.speech.whisper_prompt import prompt_from, units_from
from assistant.speech.whisper_text import plain, said_once, snapped
from assistant.speech.written_numbers import in_figures

_FRAMES_PER_S = 100


@dataclass(frozen=True)
class WhisperSettings:
    """How a Whisper model decodes.

    ``context_s``: length of sound that is encoded; shorter is quicker, but below about 8 s the
    model falls into repetitions. ``beam``: width of the search. ``no_repeat``: no run of so many
    tokens occurs twice. ``lead_s``: silence put before the sound, for utterances cut close.
    ``threads``: processor threads.
    """

    context_s: float = 10.0
    beam: int = 3
    no_repeat: int = 3
    lead_s: float = 0.2
    most_tokens: int = 40
    threads: int = 2


class WhisperEngine:
    """A model folder in CTranslate2 form, held in eight-bit numbers.

    Whisper writes something even for noise: use it beside a grammar engine (TwoListeners), not
    alone. ``prompt`` makes the prompt out of a grammar's JSGF text, ``hint`` the shorter one
    under which texts are weighed.
    """

    name = "whisper"

    def __init__(
        self,
        model_folder: Path,
        settings: WhisperSettings | None = None,
        prompt: Callable[[str], str] = prompt_from,
        hint: Callable[[str], str] = units_from,
    ) -> None:
        if not (model_folder / "model.bin").is_file():
            raise SpeechError(
                f"{model_folder} holds no Whisper model; fetch one with "
                "'python -m assistant.models fetch whisper-base'."
            )
        if find_spec("faster_whisper") is None:
            raise SpeechError(
                "The second listener's library is missing; install the extra 'whisper' of "
                "assembly-assistant."
            )
        import ctranslate2
        from faster_whisper import WhisperModel
        from faster_whisper.tokenizer import Tokenizer

        self._settings = settings or WhisperSettings()
        self._array: Callable[[Any], Any] = ctranslate2.StorageView.from_array
        self._model: Any = WhisperModel(
            str(model_folder),
            device="cpu",
            compute_type="int8",
            cpu_threads=self._settings.threads,
            local_files_only=True,
        )
        self._tokens: Any = Tokenizer(
            self._model.hf_tokenizer,
            self._model.model.is_multilingual,
            task="transcribe",
            language="en",
        )
        self._make_prompt = prompt
        self._make_hint = hint
        self._prompts: dict[str, tuple[list[int], list[int]]] = {}
        self._prompt: list[int] = []
        self._hint: list[int] = []
        self._words: frozenset[str] = frozenset()
        self._encoded: tuple[Utterance | None, Any] = (None, None)

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar: its phrases become the prompt, its words the vocabulary."""
        if jsgf not in self._prompts:
            self._prompts[jsgf] = (
                self._encode_text(self._make_prompt(jsgf)),
                self._encode_text(self._make_hint(jsgf)),
            )
        self._prompt, self._hint = self._prompts[jsgf]
        self._words = frozenset(words)

    def recognise(self, utterance: Utterance) -> Recognition:
        """Write down ``utterance``, with figures, in the grammar's words where they are close."""
        start = self._start(self._prompt)
        result = self._model.model.generate(
            self._encode(utterance),
            [start],
            beam_size=self._settings.beam,
            no_repeat_ngram_size=self._settings.no_repeat,
            max_length=len(start) + self._settings.most_tokens,
            return_scores=True,
        )[0]
        written = said_once(self._tokens.decode(result.sequences_ids[0]))
        text = snapped(plain(written), self._words)
        if not text:
            return Recognition((), self.name)
        sure = exp(min(0.0, result.scores[0]))
        words = tuple(Word(w, utterance.start_s, utterance.end_s, sure) for w in text.split())
        return Recognition((Hypothesis(words, sure),), self.name)

    def weigh(self, utterance: Utterance, texts: Sequence[str]) -> list[float]:
        """Log likelihood of each of ``texts`` given the sound, in nats, by forced decoding.

        Texts are scored with figures, as the model writes them, and end with a full stop, so
        that the beginning of a longer phrase does not pass for a whole one. The units of the
        grammar go before as a prompt: without it "thou" alone costs some 15 nats.
        """
        tokens = [self._tokens.encode(f" {in_figures(t).capitalize()}.") for t in texts]
        encoded = np.repeat(np.array(self._encode(utterance)), len(tokens), axis=0)
        frames = min(
            round(self._settings.context_s * _FRAMES_PER_S),
            len(utterance.samples) * _FRAMES_PER_S // SAMPLE_RATE + 50,
        )
        before = [self._tokens.sot_prev, *self._hint] if self._hint else []
        aligned = self._model.model.align(
            self._array(encoded),
            [*before, *self._tokens.sot_sequence],
            tokens,
            [frames] * len(tokens),
        )
        return [sum(log(max(p, 1e-9)) for p in a.text_token_probs) for a in aligned]

    def _encode_text(self, text: str) -> list[int]:
        return list(self._tokens.encode(" " + text)) if text else []

    def _start(self, prompt: list[int]) -> list[int]:
        before = [self._tokens.sot_prev, *prompt] if prompt else []
        return [*before, *self._tokens.sot_sequence, self._tokens.no_timestamps]

    def _encode(self, utterance: Utterance) -> Any:
        """The encoder's view of the sound; kept for the utterance heard last."""
        known, view = self._encoded
        if known is utterance:
            return view
        whole = round(self._settings.context_s * SAMPLE_RATE)
        lead = round(self._settings.lead_s * SAMPLE_RATE)
        sound = np.zeros(whole, np.float32)
        heard = utterance.samples[: whole - lead].astype(np.float32) / 32768
        sound[lead : lead + len(heard)] = heard
        features = self._model.feature_extractor(sound, padding=0)
        frames = round(self._settings.context_s * _FRAMES_PER_S)
        view = self._model.model.encode(
            self._array(np.ascontiguousarray(features[None, :, :frames]))
        )
        self._encoded = (utterance, view)
        return view
