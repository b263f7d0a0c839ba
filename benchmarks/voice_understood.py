"""How well each voice is understood by two recognisers that know nothing of what is said."""

from __future__ import annotations

import random
import re
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

import jiwer
import numpy as np
import soxr
from num2words import num2words

from assistant.audio.file_source import read_audio
from assistant.evaluation.statistics import Rate
from assistant.language import Language
from assistant.language.spec import ListenSpec, NumberSpec, Reading
from assistant.language.tone import Tone
from assistant.models.places import best_installed
from assistant.quantities.amount import Amount
from assistant.speech.ear import shipped
from assistant.speech.types import SAMPLE_RATE, Engine, Samples, Utterance
from assistant.voice.played_voice import Synthesiser
from assistant.voice.pronounce import Respelling
from benchmarks.voice_lines import cautions_and_torques, tone_of

EN = Language.load("en-US")
_RATE = 150
_UNITS = {"N*m": "newton meters", "lbf*ft": "pound feet", "lbf*in": "pound inches"}
_SETTING = re.compile(r"Set (?:the wrench to )?((?:[a-z]+ )+?(?:newton meters|pound feet|"
                      r"pound inches)), ([a-z ]+)\.")  # fmt: skip


@dataclass
class Score:
    """The outcome of one voice with one listener."""

    numbers: list[bool] = field(default_factory=list)
    digits: list[bool] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)
    words: int = 0
    words_right: int = 0


class SpokenBy:
    """A voice as sound at the recognisers' rate."""

    def __init__(self, name: str, synthesiser: Synthesiser | None) -> None:
        self.name = name
        self._synthesiser = synthesiser

    def __call__(self, text: str, tone: Tone) -> Samples:
        """``text`` spoken, with a quarter second of quiet around it."""
        if self._synthesiser is None:
            sound = _by_pyttsx3(text)
        else:
            made = self._synthesiser.synthesise(self._synthesiser.prepared(text, tone), _RATE)
            sound = soxr.resample(made.samples, made.rate, SAMPLE_RATE)
        quiet = np.zeros(SAMPLE_RATE // 4, np.int16)
        return np.concatenate((quiet, sound, quiet))


_PYTTSX3 = """
import sys, pyttsx3
engine = pyttsx3.init()
engine.setProperty("rate", 150)
engine.save_to_file(sys.stdin.read(), sys.argv[1])
engine.runAndWait()
"""


def _by_pyttsx3(text: str) -> Samples:
    """In a process of its own: the library hangs when it is used for many files in one."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "line.wav"
        spoken = Respelling.of_language("en-US")(text)
        subprocess.run(
            [sys.executable, "-c", _PYTTSX3, str(path)], input=spoken, text=True, check=True,
            timeout=60, capture_output=True,
        )  # fmt: skip
        return read_audio(path)


def series(count: int) -> list[tuple[Amount, str]]:
    """``count`` torques of the kind that a workshop sets, each as an announcement says it."""
    rng = random.Random(7)
    found = []
    for number in range(count):
        unit = list(_UNITS)[number % len(_UNITS)]
        value = Fraction(rng.randint(10, 300), 2) if number % 2 else Fraction(rng.randint(3, 150))
        amount = Amount(value, unit)
        found.append((amount, f"Set the wrench to {EN.say_amount(amount, digits=True)}."))
    return found


def teens_and_tens() -> list[str]:
    """Announcements of 13 to 19 and of 30 to 90 in each unit: the numbers that sound alike."""
    values = (*range(13, 20), *range(30, 100, 10))
    amounts = [Amount(Fraction(value), unit) for unit in _UNITS for value in values]
    return [f"Set the wrench to {EN.say_amount(amount, digits=True)}." for amount in amounts]


def understood(
    spoken: Sequence[SpokenBy], count: int, listeners: Sequence[str], teens: bool = False
) -> None:
    """Print the table; with ``teens`` of the numbers that sound alike, and nothing else."""
    cautions, torques = ([], teens_and_tens()) if teens else cautions_and_torques()
    cautions = [c.removesuffix(" Say caution understood.") for c in cautions]
    lines = [*torques, *(text for _, text in series(count))]
    place = best_installed("whisper")
    if teens:
        print(f"{len(lines)} teens and tens")
    else:
        print(f"{len(torques)} torques and {len(cautions)} cautions of the demo procedures, "
              f"{count} further torques\n")  # fmt: skip
    head = f"{'voice':<14}{'listener':<14}{'right number':<20}{'right digits':<20}"
    print(f"{head}{'right words of cautions':<26}")
    for voice in spoken:
        if place is not None and "whisper" in listeners:
            _print(voice.name, place.name, _whisper(voice, place, lines, cautions))
        if "ear" in listeners:
            _print(voice.name, "ear", _grammar(voice, lines))


def _print(voice: str, listener: str, score: Score) -> None:
    words = f"{Rate(score.words_right, score.words)!s}" if score.words else "no grammar for them"
    print(
        f"{voice:<14}{listener:<14}"
        f"{Rate(sum(score.numbers), len(score.numbers))!s:<20}"
        f"{Rate(sum(score.digits), len(score.digits))!s:<20}"
        f"{words:<26}",
        flush=True,
    )
    for wrong in score.wrong:
        print(f"    {wrong}", flush=True)


def _to_the_digits(line: str) -> str:
    """An announcement as far as the digits of its torque; threads and the rest are left out."""
    found = _SETTING.search(line)
    return line if found is None else line[: found.end()]


def setting(line: str) -> tuple[str, str]:
    """The value with its unit, and the digits, that a torque line announces."""
    found = _SETTING.search(line)
    if found is None:
        raise ValueError(f"'{line}' announces no torque.")
    return found[1], found[2]


# The recogniser that ships, with grammars as wide as the values may be ---------------------------


def _grammar(voice: SpokenBy, lines: Sequence[str]) -> Score:
    engine = shipped.load(EN.pronunciations)
    score = Score()
    for line in lines:
        value, digits = setting(line)
        unit = next(u for u, words in _UNITS.items() if value.endswith(words))
        spec = ListenSpec(reading=NumberSpec((unit,), 1, None, Fraction(300)))
        said = EN.interpret(spec, f"reading {value}")
        heard = _hear(engine, spec, voice(f"Reading {value}.", "plain"))
        right = EN.interpret(spec, heard) == said and isinstance(said[0], Reading)
        score.numbers.append(right)
        spelled = _hear(engine, ListenSpec(digits=True), voice(f"{digits}.", "plain"))
        score.digits.append(spelled == digits)
        if not (right and score.digits[-1]):
            score.wrong.append(f"{value}: heard '{heard}'; {digits}: heard '{spelled}'")
    return score


def _hear(engine: Engine, spec: ListenSpec, sound: Samples) -> str:
    engine.listen_for(EN.jsgf(spec), EN.words(spec))
    found = engine.recognise(Utterance(sound, 0.0, len(sound) / SAMPLE_RATE)).hypotheses
    return found[0].text if found else ""


# Whisper, without a grammar ----------------------------------------------------------------------


def _whisper(voice: SpokenBy, place: Path, lines: Sequence[str], cautions: Sequence[str]) -> Score:
    from faster_whisper import WhisperModel

    model = WhisperModel(str(place), device="cpu", compute_type="int8", cpu_threads=2)
    score = Score()
    for line in lines:
        value, digits = setting(line)
        heard = _transcript(model, voice(_to_the_digits(line), tone_of(line)))
        number = value.rsplit(" ", 2)[0]
        _, there, after = f" {heard} ".partition(f" set it to {number} ")
        right = bool(there)
        score.numbers.append(right)
        score.digits.append(digits in _homophones(after))
        if not (right and score.digits[-1]):
            score.wrong.append(f"{value}, {digits}: heard '{heard}'")
    for caution in cautions:
        heard = _transcript(model, voice(caution, "caution"))
        _count_words(score, _words(caution), heard)
    return score


def _transcript(model: Any, sound: Samples) -> str:
    segments, _ = model.transcribe(
        sound.astype(np.float32) / 32768, language="en", beam_size=5, temperature=0.0
    )
    return _words(" ".join(s.text for s in segments))


def _homophones(text: str) -> str:
    """Digits that a listener without a grammar writes as other words of the same sound."""
    same = {"to": "two", "too": "two", "for": "four", "won": "one", "ate": "eight"}
    return " ".join(same.get(word, word) for word in text.split())


def _words(text: str) -> str:
    """Text in small letters, numbers in words, without marks; spellings of one kind."""
    text = text.lower().replace("metre", "meter").replace("nm", " newton meters ")
    text = re.sub(r"(?<=\d)-(?=\d)", " ", text)
    text = re.sub(r"\d+(?:\.\d+)?", lambda n: f" {_spoken(n[0])} ", text)
    text = re.sub(r"[^a-z0-9' ]", " ", text)
    return " ".join(text.split()).replace("foot pounds", "pound feet")


def _spoken(number: str) -> str:
    if len(number) > 1 and number[0] == "0" and "." not in number:
        return " ".join(num2words(int(d)) for d in number)
    value = float(number) if "." in number else int(number)
    return str(num2words(value)).replace("-", " ").replace(",", "")


def _count_words(score: Score, said: str, heard: str) -> None:
    found = jiwer.process_words(said, heard or " ")
    score.words += len(said.split())
    score.words_right += found.hits
    if found.wer > 0:
        score.wrong.append(f"caution '{said}': heard '{heard}'")
