"""Sound that is not a command: what the assistant would do because of it."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from assistant.audio.file_source import read_audio
from assistant.audio.synthesis.noises import NOISES, as_samples
from assistant.evaluation.conditions import babble, talk
from assistant.evaluation.corpora import librivox
from assistant.evaluation.hearing import Listener, TrialAnswer
from assistant.evaluation.policy import decide
from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.policy import Policy
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

_MINUTE = 60 * SAMPLE_RATE
_PAUSE = SAMPLE_RATE * 9 // 10  # longer than the quiet that ends any utterance
_SUBJECTS = ("the river", "our neighbour", "a new bakery", "the old bridge", "nobody", "the choir")
_VERBS = ("has reached", "will visit", "could not find", "was talking about", "sold", "painted")
_OBJECTS = ("two villages", "the market", "fifteen chairs", "a different road", "the long wall")
_ENDS = ("since last spring", "before the rain", "for one more week", "as the mayor had hoped")


@dataclass(frozen=True)
class NonCommandAnswer:
    """What one answer to non-command sound was heard in: the kind of sound and the state."""

    sound: str
    state: str
    answer: TrialAnswer


def non_commands(minutes: int, seed: int) -> Iterator[tuple[str, Samples]]:
    """``minutes`` of sound in one-minute pieces: babble, radio talk, read prose, shop noises."""
    makers = (_babble, _radio, _prose, _shop, _radio, _music)
    for minute in range(minutes):
        maker = makers[minute % len(makers)]
        yield maker.__name__.lstrip("_"), maker(minute, seed)


def recorded_talk(folder: Path) -> Iterator[tuple[str, Samples]]:
    """Every recording in ``folder``, in pieces of a minute or so with pauses between them.

    Raises:
        SpeechError: there is none.
    """
    paths = sorted(p for p in folder.iterdir() if p.suffix.lower() in (".wav", ".flac", ".ogg"))
    if not paths:
        raise SpeechError(f"{folder} holds no recordings (WAV, FLAC or Ogg); name another folder.")
    pause = np.zeros(_PAUSE, np.float64)
    piece: list[np.ndarray[tuple[int], np.dtype[np.float64]]] = []
    for path in paths:
        sound = read_audio(path).astype(np.float64)
        piece += [sound / max(float(np.sqrt(np.mean(sound**2))), 1.0), pause]
        if sum(map(len, piece)) >= _MINUTE or path == paths[-1]:
            floor = np.random.default_rng(len(piece)).standard_normal(sum(map(len, piece))) * 1e-3
            yield folder.name, _at_level(np.concatenate(piece) + floor)
            piece = []


def listen(
    listener: Listener,
    language: Language,
    sounds: Iterable[tuple[str, Samples]],
    states_each: int = 1,
) -> tuple[list[NonCommandAnswer], float]:
    """Answers to ``sounds``, each heard in ``states_each`` states; and the hours listened."""
    states = ("runout", "doing", "torque", "tightening", "yes_no", "digits", "review", "journal")
    found = []
    heard = 0
    for number, (kind, sound) in enumerate(sounds):
        for turn in range(states_each):
            place = number + number // len(states) + turn * len(states) // states_each
            state = states[place % len(states)]
            spec = STATES[state]
            listener.listen_for(language.jsgf(spec), language.words(spec))
            found += [NonCommandAnswer(kind, state, answer) for answer in listener.hear(sound)]
            heard += len(sound)
    return found, heard / SAMPLE_RATE / 3600


def accepted(
    found: list[NonCommandAnswer], language: Language, trust: Policy
) -> list[tuple[NonCommandAnswer, Recognition]]:
    """The answers that the dialogue would act on, or ask about."""
    acted = []
    for heading in found:
        recognition = heading.answer.recognition
        outcome = decide(language, STATES[heading.state], recognition, trust)
        if outcome.kind in ("accepted", "asked"):
            acted.append((heading, recognition))
    return acted


def _at_level(sound: np.ndarray[tuple[int], np.dtype[np.float64]]) -> Samples:
    return as_samples(sound / np.sqrt(np.mean(sound**2)) * 10 ** (-30 / 20) * 32768)


def _babble(minute: int, seed: int) -> Samples:
    """Six people talking at once."""
    return _at_level(np.resize(np.roll(babble(), minute * 7919), _MINUTE).astype(np.float64))


def _radio(minute: int, seed: int) -> Samples:
    """One speaker reading out sentences, numbers among them, with short pauses."""
    rng = random.Random(f"radio {seed} {minute}")
    voice = rng.choice(("awb", "rms", "slt", "kal16", "espeak_gb"))
    sentences = [
        " ".join(rng.choice(part) for part in (_SUBJECTS, _VERBS, _OBJECTS, _ENDS))
        for _ in range(14)
    ]
    return _at_level(talk(voice, sentences, _MINUTE))


def _prose(minute: int, seed: int) -> Samples:
    """Recorded reading aloud where Debian's test data are installed; else like the radio."""
    recorded = list(librivox())
    if not recorded:
        return _radio(minute, seed)
    return _at_level(np.resize(np.concatenate(recorded), _MINUTE).astype(np.float64))


def _shop(minute: int, seed: int) -> Samples:
    """Ratchet, grinder, compressor and air line, a quarter of a minute each."""
    part = _MINUTE // 4
    kinds = ("ratchet", "grinder", "hum", "hiss")
    pieces = [NOISES[k](part, seed * 1000 + minute * 10 + i) for i, k in enumerate(kinds)]
    return _at_level(np.concatenate([p / np.sqrt(np.mean(p**2)) for p in pieces]))


def _music(minute: int, seed: int) -> Samples:
    """A radio tune."""
    return _at_level(NOISES["music"](_MINUTE, seed + minute))
