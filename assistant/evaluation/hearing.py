"""Engines as the bench uses them: found on this machine, loaded, asked, and timed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from time import perf_counter, process_time

from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.pronouncing import Phones
from assistant.models.places import best_installed
from assistant.resources import data_folder
from assistant.speech.endpoint import Endpointer
from assistant.speech.errors import SpeechError
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine
from assistant.speech.two_listeners import (
    Policy,
    SecondListener,
    SoundAlikes,
    candidates,
    commands_settled,
    confirmed,
    weighed,
)
from assistant.speech.types import SAMPLE_RATE, Engine, Samples
from assistant.speech.vosk_engine import VoskEngine
from assistant.speech.vosk_models import find_vosk_model
from assistant.speech.whisper_engine import WhisperEngine


@dataclass(frozen=True)
class Heard:
    """Raw answers to one stretch of speech, from which every policy's answer follows.

    Times in seconds from the endpoint: ``first_s`` of the first engine alone, ``second_s`` and
    ``weigh_s`` what the second listener's transcript and its weighing of candidates add;
    ``processor_s`` is the processor time of all three over all cores, which other work on the
    machine lengthens less; ``first_processor_s`` that of the first.
    """

    first: Recognition
    second: str | None
    texts: tuple[str, ...]
    nats: tuple[float, ...]
    first_s: float
    second_s: float = 0.0
    weigh_s: float = 0.0
    first_processor_s: float = 0.0
    processor_s: float = 0.0

    def answer(self, policy: Policy) -> tuple[Recognition, float]:
        """The recognition under ``policy``, and the seconds that it takes."""
        if policy == "alone" or self.second is None or not self.first.hypotheses:
            return self.first, self.first_s
        spent = self.first_s + self.second_s
        if policy == "confirm":
            return confirmed(self.first, self.second), spent
        if policy == "commands":
            return commands_settled(self.first, self.second), spent
        return weighed(self.first, self.second, self.texts, self.nats), spent + self.weigh_s


class Listener:
    """A first engine, and a second listener beside it or none."""

    def __init__(
        self,
        first: Engine,
        second: SecondListener | None = None,
        sounds: Mapping[str, tuple[Phones, ...]] | None = None,
    ) -> None:
        self.first = first
        self.second = second
        self._alike = SoundAlikes(sounds or {})
        self._words: tuple[str, ...] = ()

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar in both."""
        self._words = words
        self.first.listen_for(jsgf, words)
        if self.second is not None:
            self.second.listen_for(jsgf, words)

    def hear(self, sound: Samples) -> list[Heard]:
        """Cut ``sound`` into utterances as a session does, and have each recognised."""
        endpointer = Endpointer()
        answers = []
        for utterance in (*endpointer.feed(sound), *endpointer.finish()):
            begun = process_time()
            started = perf_counter()
            first = self.first.recognise(utterance)
            first_s = perf_counter() - started
            alone = process_time() - begun
            if self.second is None or not first.hypotheses:
                answers.append(
                    Heard(first, None, (), (), first_s, processor_s=process_time() - begun)
                )
                continue
            started = perf_counter()
            found = self.second.recognise(utterance).hypotheses
            second_s = perf_counter() - started
            text = found[0].text if found else ""
            started = perf_counter()
            texts = tuple(candidates(first, text, lambda t: self._alike.of(t, self._words)))
            nats = tuple(self.second.weigh(utterance, texts))
            weigh_s = perf_counter() - started
            spent = process_time() - begun
            answers.append(
                Heard(first, text, texts, nats, first_s, second_s, weigh_s, alone, spent)
            )
        return answers


def found() -> dict[str, Callable[[], Listener]]:
    """Listeners that this machine can have, by name; calling one loads it."""
    firsts: dict[str, Callable[[], Engine]] = {"pocketsphinx": _pocketsphinx}
    try:
        vosk = find_vosk_model("en-US")
    except SpeechError:
        vosk = None
    if vosk is not None:
        firsts["vosk"] = partial(VoskEngine, vosk)
    whisper = best_installed("whisper")
    listeners: dict[str, Callable[[], Listener]] = {}
    for name, load in firsts.items():
        listeners[name] = partial(_load, load, None)
        if whisper is not None:
            listeners[f"{name}+{whisper.name}"] = partial(_load, load, whisper)
    return listeners


def _load(first: Callable[[], Engine], whisper: Path | None) -> Listener:
    if whisper is None:
        return Listener(first())
    sounds = Language.load("en-US").pronunciations
    return Listener(first(), WhisperEngine(whisper), sounds)


def _pocketsphinx() -> Engine:
    return PocketSphinxEngine(data_folder("grammars") / "en-US" / "lexicon.dict")


def seconds(sound: Samples) -> float:
    """Length of a sound."""
    return len(sound) / SAMPLE_RATE
