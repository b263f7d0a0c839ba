"""Vosk as an engine: a decoding graph made at run time from the words of the grammar."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Utterance
from assistant.speech.vosk_models import is_model

_UNKNOWN = "[unk]"
_ALTERNATIVES = 5


class VoskEngine:
    """Listens for the words of one grammar at a time with the model in folder ``model``.

    Vosk takes words, not JSGF: the order of the words is left to whoever reads the hypotheses.
    A word that the model does not have cannot be heard and is refused.

    Raises:
        SpeechError: the folder holds no model.
    """

    name = "vosk"

    def __init__(self, model: Path) -> None:
        # imported here: a session that hears with another engine need not wait for it
        import vosk

        vosk.SetLogLevel(-1)
        if not is_model(model):
            raise SpeechError(f"{model} holds no Vosk model; unpack one there.")
        self._vosk: Any = vosk
        self._model: Any = vosk.Model(str(model))
        self._grammar: str | None = None

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up the words of a grammar.

        Raises:
            SpeechError: the model does not have one of them.
        """
        for word in words:
            if self._model.vosk_model_find_word(word) < 0:
                raise SpeechError(
                    f"The Vosk model does not have the word '{word}'; use another model or the "
                    "PocketSphinx engine."
                )
        # Only some models have a word for everything else.
        unknown = (_UNKNOWN,) if self._model.vosk_model_find_word(_UNKNOWN) >= 0 else ()
        self._grammar = json.dumps([*sorted(set(words)), *unknown], ensure_ascii=False)

    def recognise(self, utterance: Utterance) -> Recognition:
        """Decode ``utterance``; no hypotheses when none of the words was heard."""
        if self._grammar is None:
            raise SpeechError("The recogniser was given no grammar; take one up before listening.")
        raw = utterance.samples.tobytes()
        # Asked for alternatives, Vosk leaves out the words' confidences (measured with 0.3.45),
        # so one recogniser gives the words and another the alternatives. New ones each time:
        # a used one goes on counting time and adapts to what it heard, so that the same sound
        # would not give the same answer twice. Making one takes a few milliseconds.
        with_words = self._vosk.KaldiRecognizer(self._model, SAMPLE_RATE, self._grammar)
        with_words.SetWords(True)
        with_others = self._vosk.KaldiRecognizer(self._model, SAMPLE_RATE, self._grammar)
        with_others.SetMaxAlternatives(_ALTERNATIVES)
        heard, ranked = (_decode(r, raw) for r in (with_words, with_others))
        words = tuple(
            Word(w["word"], utterance.start_s + w["start"], utterance.start_s + w["end"], w["conf"])
            for w in heard.get("result", ())
        )
        if not words or any(w.text == _UNKNOWN for w in words):
            return Recognition((), self.name)
        best = Hypothesis(words, _mean(w.confidence for w in words))
        others = ranked.get("alternatives", ())
        return Recognition((best, *_alternatives(best, others)), self.name)


def _decode(recogniser: Any, raw: bytes) -> dict[str, Any]:
    """Decode the whole of ``raw``.

    The engine's own endpointing may close a part early; the parts are put together.
    """
    parts = []
    if recogniser.AcceptWaveform(raw):
        parts.append(json.loads(recogniser.Result()))
    parts.append(json.loads(recogniser.FinalResult()))
    result = [word for part in parts for word in part.get("result", ())]
    alternatives = [p["alternatives"] for p in parts if p.get("alternatives")]
    # Alternatives of separate parts cannot be joined; keep them only when there is one part.
    return {"result": result, "alternatives": alternatives[0] if len(alternatives) == 1 else []}


def _alternatives(best: Hypothesis, ranked: list[dict[str, Any]]) -> Iterator[Hypothesis]:
    """The other readings, each with its share of the likelihood of all that were given."""
    texts: dict[str, float] = {}
    for entry in ranked:
        text = entry["text"].strip()
        if text and _UNKNOWN not in text:
            texts.setdefault(text, entry["confidence"])
    top = max(texts.values(), default=0.0)
    total = sum(math.exp(score - top) for score in texts.values())
    for text, score in texts.items():
        if text != best.text:
            share = math.exp(score - top) / total
            yield Hypothesis(tuple(Word(w, confidence=share) for w in text.split()), share)


def _mean(values: Iterator[float]) -> float:
    listed = list(values)
    return sum(listed) / len(listed)
