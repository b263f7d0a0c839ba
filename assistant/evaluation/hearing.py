"""Engines as the bench uses them: found on this machine, loaded, asked, and timed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from assistant.evaluation.pacing import TimedFollower
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.speech.ear import shipped as ear
from assistant.speech.ear.engine import EarEngine
from assistant.speech.endpoint import Endpointer
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Engine, Samples, Utterance
from assistant.speech.vosk_engine import VoskEngine
from assistant.speech.vosk_models import find_vosk_model


@dataclass(frozen=True)
class TrialAnswer:
    """The answer to one stretch of speech.

    ``decision_s``: seconds from the endpoint to it. ``processor_s``: processor time spent on the
    whole utterance, over all cores, which other work on the machine lengthens less.
    """

    recognition: Recognition
    decision_s: float
    processor_s: float = 0.0


class Listener:
    """An engine behind an endpointer, as in a session."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._clock = TimedFollower(engine)

    def listen_for(self, jsgf: str, words: tuple[str, ...]) -> None:
        """Take up a grammar."""
        self._engine.listen_for(jsgf, words)
        self._clock.grammar(jsgf)

    def hear(self, sound: Samples) -> list[TrialAnswer]:
        """Cut ``sound`` into utterances as a session does, and have each recognised."""
        endpointer = Endpointer(follower=self._clock)
        answers = [self._hear(utterance) for utterance in endpointer.follow(sound)]
        return answers + [self._hear(utterance) for utterance in endpointer.finish()]

    def _hear(self, utterance: Utterance) -> TrialAnswer:
        recognition, decision_s = self._clock.recognise(utterance)
        return TrialAnswer(recognition, decision_s, self._clock.processor_s)


def found() -> dict[str, Callable[[], Listener]]:
    """Listeners that this machine can have, by name; calling one loads it."""
    listeners: dict[str, Callable[[], Listener]] = {EarEngine.name: _ear}
    try:
        vosk = find_vosk_model("en-US")
    except SpeechError:
        vosk = None
    if vosk is not None:
        listeners[VoskEngine.name] = partial(lambda model: Listener(VoskEngine(model)), vosk)
    return listeners


def _ear() -> Listener:
    return Listener(ear.load(Language.load("en-US").pronunciations))


def seconds(sound: Samples) -> float:
    """Length of a sound."""
    return len(sound) / SAMPLE_RATE
