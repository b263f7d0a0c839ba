"""Vosk as an engine: a decoding graph made at run time from the words of the grammar."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from assistant.language.automaton import automaton_of
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.speech.errors import SpeechError
from assistant.speech.types import IN_DOUBT, SAMPLE_RATE, Utterance
from assistant.speech.vosk_models import is_model

_UNKNOWN = "[unk]"
_ALTERNATIVES = 5
_MOST_PHRASES = 500  # of a grammar that is listened for phrase by phrase
_LONGEST = 12  # words of a phrase; a number may go on for longer


class VoskEngine:
    """Listens for the words of one grammar at a time with the model in folder ``model``.

    Vosk takes words or phrases, not JSGF. With ``whole_phrases``, where a grammar has few of them
    (commands), it is given them whole, and what it hears counts only where, listening for the
    single words, it makes out one of the same words. Else it is given the words (numbers), and
    their order is left to whoever reads the hypotheses. A word that the model does not have
    cannot be heard and is refused.

    Raises:
        SpeechError: the folder holds no model.
    """

    name = "vosk"

    def __init__(self, model: Path, whole_phrases: bool = False) -> None:
        # imported here: a session that hears with another engine need not wait for it
        import vosk

        vosk.SetLogLevel(-1)
        if not is_model(model):
            raise SpeechError(f"{model} holds no Vosk model; unpack one there.")
        self._vosk: Any = vosk
        self._model: Any = vosk.Model(str(model))
        self._whole = whole_phrases
        self._words: str | None = None
        self._phrases: str | None = None  # where the grammar has few

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar; without JSGF only its words.

        Raises:
            SpeechError: the model does not have one of them.
        """
        for word in words:
            if self._model.vosk_model_find_word(word) < 0:
                raise SpeechError(
                    f"The Vosk model does not have the word '{word}'; use another model."
                )
        # Only some models have a word for everything else.
        unknown = (_UNKNOWN,) if self._model.vosk_model_find_word(_UNKNOWN) >= 0 else ()
        self._words = _grammar(*sorted(set(words)), *unknown)
        phrases = _few_phrases(jsgf) if jsgf and self._whole else ()
        self._phrases = _grammar(*phrases, *unknown) if phrases else None

    def recognise(self, utterance: Utterance) -> Recognition:
        """Decode ``utterance``; no hypotheses when none of the words was heard."""
        if self._words is None:
            raise SpeechError("The recogniser was given no grammar; give it one before listening.")
        raw = utterance.samples.tobytes()
        # Asked for alternatives, Vosk leaves out the words' confidences (measured with 0.3.45),
        # so one recogniser gives the words and another the alternatives. New ones each time:
        # a used one goes on counting time and adapts to what it heard, so that the same sound
        # would not give the same answer twice. Making one takes a few milliseconds.
        grammar = self._phrases or self._words
        with_words = self._vosk.KaldiRecognizer(self._model, SAMPLE_RATE, grammar)
        with_words.SetWords(True)
        with_others = self._vosk.KaldiRecognizer(self._model, SAMPLE_RATE, self._words)
        with_others.SetMaxAlternatives(_ALTERNATIVES)
        heard, ranked = (_decode(r, raw) for r in (with_words, with_others))
        words = tuple(
            Word(w["word"], utterance.start_s + w["start"], utterance.start_s + w["end"], w["conf"])
            for w in heard.get("result", ())
        )
        if not words or any(w.text == _UNKNOWN for w in words):
            return Recognition((), self.name)
        sure = _mean(w.confidence for w in words)
        best = Hypothesis(words, min(sure, IN_DOUBT) if utterance.cut else sure)
        others = ranked.get("alternatives", ())
        if self._phrases is not None and not _shares_a_word(best, others):
            return Recognition((), self.name)
        return Recognition((best, *_alternatives(best, others)), self.name)


def _grammar(*texts: str) -> str:
    return json.dumps(texts, ensure_ascii=False)


@lru_cache(maxsize=256)
def _few_phrases(jsgf: str) -> tuple[str, ...]:
    """Every phrase of a grammar; none where they are many."""
    automaton = automaton_of(jsgf)
    found: list[str] = []
    pending: list[tuple[int, tuple[str, ...]]] = [(0, ())]
    while pending:
        state, said = pending.pop()
        if len(said) > _LONGEST or len(found) + len(pending) > _MOST_PHRASES:
            return ()
        if state in automaton.finals:
            found.append(" ".join(said))
        pending += [(to, (*said, word)) for word, to in automaton.onward[state].items()]
    return tuple(sorted(found))


def _shares_a_word(best: Hypothesis, ranked: list[dict[str, Any]]) -> bool:
    """Whether the likeliest of ``ranked``, heard word by word, has a word of ``best``.

    Held to whole phrases, the decoder is sure of one even where it heard another: of 54 commands
    in a synthetic Korean voice four were wrong, none of which shared a word (docs/languages.md).
    """
    likeliest = max(ranked, key=lambda one: float(one["confidence"]), default={"text": ""})
    return bool({w.text for w in best.words} & set(likeliest["text"].split()))


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
