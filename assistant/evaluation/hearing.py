"""Engines as the bench uses them: found on this machine, loaded, asked, and timed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from time import perf_counter, process_time

from assistant.evaluation.pacing import Paced
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.pronouncing import Phones
from assistant.models.places import best_installed
from assistant.resources import data_folder
from assistant.speech.candidates import Candidate, SoundAlikes
from assistant.speech.ear import shipped as ear
from assistant.speech.ear.engine import EarEngine
from assistant.speech.endpoint import Endpointer
from assistant.speech.errors import SpeechError
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine
from assistant.speech.two_listeners import Policy, SecondListener, TwoListeners
from assistant.speech.types import SAMPLE_RATE, Engine, Samples, Utterance
from assistant.speech.vosk_engine import VoskEngine
from assistant.speech.vosk_models import find_vosk_model
from assistant.speech.vouching import commands_settled, confirmed, weighed
from assistant.speech.whisper_engine import WhisperEngine


@dataclass(frozen=True)
class Heard:
    """Raw answers to one stretch of speech, from which every policy's answer follows.

    ``written``: the second listener's transcripts, None when it was not asked. Times in seconds
    from the endpoint: ``first_s`` of the first engine alone; ``second_s`` what the transcripts
    add, of which so much is already done as there was quiet to do it in; ``weigh_s`` what
    weighing adds; ``processor_s`` is the processor time of all three over all cores, which other
    work on the machine lengthens less; ``first_processor_s`` that of the first.
    """

    first: Recognition
    written: tuple[str, ...] | None
    texts: tuple[Candidate, ...]
    nats: tuple[float, ...]
    first_s: float
    second_s: float = 0.0
    weigh_s: float = 0.0
    first_processor_s: float = 0.0
    processor_s: float = 0.0
    alike: SoundAlikes = field(default_factory=lambda: SoundAlikes({}))

    def answer(self, policy: Policy) -> tuple[Recognition, float]:
        """The recognition under ``policy``, and the seconds that it takes."""
        if policy == "alone" or self.written is None or not self.first.hypotheses:
            return self.first, self.first_s
        spent = self.first_s + self.second_s
        text = self.written[0] if self.written else ""
        if policy == "confirm":
            return confirmed(self.first, text), spent
        if policy == "commands":
            return commands_settled(self.first, text), spent
        answer = weighed(self.first, self.written, self.texts, self.nats, self.alike)
        return answer, spent + self.weigh_s


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
        self._clock = Paced(first)
        self._both = None if second is None else TwoListeners(first, second, "weigh", sounds)

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar in both."""
        (self._both or self.first).listen_for(jsgf, words)
        self._clock.grammar(jsgf)

    def hear(self, sound: Samples) -> list[Heard]:
        """Cut ``sound`` into utterances as a session does, and have each recognised."""
        endpointer = Endpointer(follower=self._clock)
        answers = [self._hear(utterance) for utterance in endpointer.follow(sound)]
        return answers + [self._hear(utterance) for utterance in endpointer.finish()]

    def _hear(self, utterance: Utterance) -> Heard:
        first, first_s = self._clock.recognise(utterance)
        alone = self._clock.processor_s
        if self._both is None or self.second is None or not first.hypotheses:
            return Heard(first, None, (), (), first_s, 0.0, 0.0, alone, alone)
        begun = process_time()
        started = perf_counter()
        written = tuple(h.text for h in self.second.recognise(utterance).hypotheses)
        # The second listener begins in a pause, before the utterance is known to have ended.
        ahead_s = seconds(utterance.samples) - seconds(utterance.attended)
        second_s = max(0.0, perf_counter() - started - ahead_s)
        started = perf_counter()
        texts, nats = self._both.compare(utterance, first, written)
        weigh_s = perf_counter() - started
        spent = alone + process_time() - begun
        return Heard(
            first,
            written,
            tuple(texts),
            tuple(nats),
            first_s,
            second_s,
            weigh_s,
            alone,
            spent,
            self._alike,
        )


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
    if ear.MODEL.is_file():
        listeners[EarEngine.name] = _ear
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


def _ear() -> Listener:
    return Listener(ear.load(Language.load("en-US").pronunciations))


def _pocketsphinx() -> Engine:
    return PocketSphinxEngine(data_folder("grammars") / "en-US" / "lexicon.dict")


def seconds(sound: Samples) -> float:
    """Length of a sound."""
    return len(sound) / SAMPLE_RATE
