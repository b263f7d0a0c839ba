"""The attention phrase on real sound: how often it is taken, and how often something else is.

    python -m benchmarks.attention_bench [--minutes 30]

Prints a table and asserts nothing. The recogniser that ships listens as a
session does that was not called: for the phrase and for "stop work" alone, which count from the
confidence that a session wants.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterable
from itertools import chain

import numpy as np

from assistant.audio.synthesis.speakers import SPEAKERS, say
from assistant.dialogue.expectation import Expectation
from assistant.evaluation.false_accepts import non_commands
from assistant.language import Language
from assistant.language.spec import ListenSpec
from assistant.session.attention import CALL, STOP, AttentionPolicy
from assistant.speech.ear import shipped
from assistant.speech.endpoint import Endpointer
from assistant.speech.types import SAMPLE_RATE, Samples

TEMPI = (0.85, 1.0, 1.2)
CALLERS = tuple(name for name in SPEAKERS if "_ko" not in name)
OTHERS_BY = ("slt", "rms", "awb", "espeak_us")
LANGUAGE = Language.load("en-US")
POLICY = AttentionPolicy()


class Deaf:
    """The recogniser of a session that was not called."""

    def __init__(self) -> None:
        self._engine = shipped.load(LANGUAGE.pronunciations)
        wanted = POLICY.uncalled(Expectation(ListenSpec(commands=(STOP,)))).spec
        self._engine.listen_for(LANGUAGE.jsgf(wanted), LANGUAGE.words(wanted))

    def taken(self, sound: Samples) -> list[str]:
        """What was taken for a call or a stop in ``sound``, "call" or "stop" each."""
        ends = Endpointer()
        found = [*ends.feed(sound), *ends.finish()]
        answers = (POLICY.answer(LANGUAGE, self._engine.recognise(one)) for one in found)
        return [answer for answer in answers if answer in ("call", "stop")]


def spoken(text: str, speaker: str, tempo: float = 1.0) -> Samples:
    """``text`` with half a second of a quiet room around it."""
    floor = np.random.default_rng(1).normal(0, 3, SAMPLE_RATE // 2).astype(np.int16)
    return np.concatenate((floor, say(text, speaker, tempo), floor))


def others() -> Iterable[str]:
    """Every phrase of every other command."""
    commands = [c for c in LANGUAGE.command_ids if c not in (CALL, STOP)]
    return chain.from_iterable(LANGUAGE.phrases_for(c) for c in commands)


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--minutes", type=int, default=30, help="of sound that is not a command")
    minutes = parser.parse_args().minutes
    deaf = Deaf()
    right = said = 0
    for speaker in CALLERS:
        for tempo in TEMPI:
            for text, meant in ((LANGUAGE.phrase_for(CALL), "call"), ("stop work", "stop")):
                right += deaf.taken(spoken(text, speaker, tempo)) == [meant]
                said += 1
    print("| | |\n|---|---|")
    print(f"| the phrase and 'stop work', {len(CALLERS)} speakers, {len(TEMPI)} tempi "
          f"| {right} of {said} taken |", flush=True)  # fmt: skip
    answers = [deaf.taken(spoken(text, who)) for text in others() for who in OTHERS_BY]
    wrong = sum(map(bool, answers))
    print(f"| phrases of other commands, {len(OTHERS_BY)} speakers "
          f"| {wrong} of {len(answers)} taken |", flush=True)  # fmt: skip
    taken = sum(len(deaf.taken(sound)) for _, sound in non_commands(minutes, 1))
    print(f"| talk, prose, radio, music, shop noise | {taken} taken in {minutes} minutes |")


if __name__ == "__main__":
    main()
