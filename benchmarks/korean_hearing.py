"""How well the Korean Vosk model hears a synthetic Korean speaker under the Korean grammar.

Prints a table and asserts nothing: every command, and 100 values as readings and digit by digit.
The speaker is espeak-ng, a formant synthesiser that people find hard to follow too; real speakers
were not at hand. Run it with ``python benchmarks/korean_hearing.py``.
"""

from __future__ import annotations

import random
import subprocess
import tempfile
from collections import Counter
from fractions import Fraction
from pathlib import Path

import numpy as np

from assistant.audio.file_source import read_audio
from assistant.language import Language
from assistant.language.hypothesis import Recognition
from assistant.language.policy import Policy
from assistant.language.spec import Command, Digits, ListenSpec, Meaning, NumberSpec, Reading
from assistant.language.trust import Act, understand
from assistant.quantities.amount import Amount, Indication
from assistant.speech.types import SAMPLE_RATE, Utterance
from assistant.speech.vosk_engine import VoskEngine
from assistant.speech.vosk_models import find_vosk_model, no_model
from assistant.voice.pronounce import Respelling

VOICES = ("ko", "ko+f2", "ko+m3")
WORDS_PER_MINUTE = 160
LANGUAGE = Language.load("ko-KR")
COMMANDS = ListenSpec(commands=LANGUAGE.command_ids)
READINGS = ListenSpec(
    commands=("correction", "repeat", "help"),
    reading=NumberSpec(("mm", "um", "in", "thou"), 2, Fraction(0), Fraction(25)),
)
DIGITS = ListenSpec(commands=("wrong", "correction"), digits=True)


def spoken(text: str, voice: str) -> Utterance:
    """``text`` said by espeak-ng with a third of a second of quiet around it."""
    with tempfile.NamedTemporaryFile(suffix=".wav") as file:
        command = (
            "espeak-ng",
            "--stdin",
            "-v",
            voice,
            "-s",
            str(WORDS_PER_MINUTE),
            "-w",
            file.name,
        )
        said = Respelling.of_language("ko-KR")(text)
        subprocess.run(command, input=said.encode(), check=True)
        samples = read_audio(Path(file.name))
    quiet = np.zeros(SAMPLE_RATE // 3, np.int16)
    whole = np.concatenate((quiet, samples, quiet))
    return Utterance(whole, 0.0, len(whole) / SAMPLE_RATE)


def values() -> list[Amount]:
    """100 values of a micrometer, from a fixed seed: half of them whole or with one decimal."""
    rng = random.Random(2)
    places = [rng.choice((0, 1, 2, 2)) for _ in range(100)]
    return [
        Amount(Fraction(rng.randrange(1, 25 * 10**p), 10**p), "mm", Fraction(1, 10**p))
        for p in places
    ]


def phrases() -> list[tuple[str, ListenSpec, str, Meaning]]:
    """(sort, what is listened for, what is said, what it means)."""
    found: list[tuple[str, ListenSpec, str, Meaning]] = [
        ("commands", COMMANDS, phrase, Command(command))
        for command in LANGUAGE.command_ids
        for phrase in LANGUAGE.phrases_for(command)
    ]
    for value in values():
        said = LANGUAGE.prompt("reading_phrase", value=LANGUAGE.say_amount(value))
        found.append(("readings", READINGS, said, Reading(Indication("eq", value))))
    for value in values():
        digits = value.number()
        found.append(("digits", DIGITS, LANGUAGE.say_digits(digits), Digits(digits)))
    return found


def _held_up(spec: ListenSpec, heard: Recognition) -> bool:
    """Whether the dialogue would not believe ``heard`` by its sound alone."""
    return not isinstance(understand(Policy(), LANGUAGE, spec, heard), Act)


def main() -> None:
    """Measure and print."""
    model = find_vosk_model("ko-KR")
    if model is None:
        print(no_model("ko-KR"))
        return
    engine = VoskEngine(model, whole_phrases=True)
    print("| voice | what | said | right | taken for another | of these unasked | not understood |")
    print("|---|---|--:|--:|--:|--:|--:|")
    for voice in VOICES:
        counts: dict[str, Counter[str]] = {}
        for sort, spec, text, meant in phrases():
            engine.listen_for(LANGUAGE.jsgf(spec), LANGUAGE.words(spec))
            heard = engine.recognise(spoken(text, voice))
            best = heard.hypotheses[0].text if heard.hypotheses else ""
            meanings = LANGUAGE.interpret(spec, best)
            count = counts.setdefault(sort, Counter())
            count["said"] += 1
            if len(meanings) != 1:
                count["not understood"] += 1
            elif meanings[0] == meant:
                count["right"] += 1
            else:
                count["other"] += 1
                count["unasked"] += not _held_up(spec, heard)
        for sort, c in counts.items():
            cells: list[object] = [c[k] for k in ("said", "right", "other", "unasked")]
            if sort == "digits":  # they count only when they give the very value heard before
                cells[-1] = "-"
            cells.append(c["not understood"])
            print(f"| {voice} | {sort} | {' | '.join(map(str, cells))} |")


if __name__ == "__main__":
    main()
