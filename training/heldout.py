"""The test of the tests: thousands of phrases by the voices that training and thresholds never met.

``say`` has the neural synthesiser's styles of one side say a corpus of the hearing bench. ``hear``
has the engine that ships hear them, through its endpointer and the rule of trust, the conditions
taken in turn, and prints the tables; each answer is a line of JSON, so that a run can go on.
"""

from __future__ import annotations

import argparse
import json
import random
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import ExitStack
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np

from assistant.evaluation.conditions import CONDITIONS
from assistant.evaluation.corpora import (
    CorpusItem,
    other_units,
    readings,
    sampled,
    teens_and_tens,
    trade,
)
from assistant.evaluation.hearing import found
from assistant.evaluation.long_run import RunPart, go_on, kept, many_tables
from assistant.evaluation.measured import MeasuredListener
from assistant.language import Language
from assistant.language.policy import Policy
from assistant.speech.types import Samples
from assistant.voice.pronounce import Respelling
from training.clips import trimmed
from training.neural import NeuralVoice

Share = Callable[[Callable[[Any], Any], Iterable[Any]], Iterable[Any]]
CORPORA = {
    "readings": readings,
    "teens": teens_and_tens,
    "trade": trade,
    "sampled": sampled,
    "units": other_units,
}
DEFAULT = "clean,hum 10 dB,ratchet 10 dB,grinder 10 dB,hiss 10 dB,babble 10 dB,room 0.5 s"


def _texts(given: argparse.Namespace) -> list[CorpusItem]:
    """What is said: ``--count`` phrases, a short corpus over and over."""
    items = list(CORPORA[given.corpus](Language.load("en-US"), given.count, given.seed).items)
    return [items[n % len(items)] for n in range(given.count)]


def _say(work: tuple[int, argparse.Namespace]) -> int:
    number, given = work
    voice = NeuralVoice(given.wheels, given.voices, given.side, given.device)
    respell = Respelling.of_language("en-US")
    names: list[tuple[int, str]] = []
    sounds: list[Samples] = []
    for at, item in enumerate(_texts(given)):
        if at % given.processes != number:
            continue
        rng = random.Random(f"held out {given.seed} {at}")
        name = voice.names[(at + at // len(voice.names)) % len(voice.names)]
        whole = voice.say(respell(item.text), rng, name)
        sound = None if whole is None else trimmed(whole)
        if sound is not None:
            names.append((at, name))
            sounds.append(sound)
    np.savez(
        given.out / f"said-{number:02}.npz",
        sound=np.concatenate(sounds),
        length=np.array([len(sound) for sound in sounds]),
        names=json.dumps(names),
    )
    return len(sounds)


def said(given: argparse.Namespace) -> Iterator[CorpusItem]:
    """What the files in ``--out`` hold, in the order of the corpus."""
    texts = _texts(given)
    found: dict[int, CorpusItem] = {}
    for path in sorted(given.out.glob("said-*.npz")):
        with np.load(path) as data:
            sounds = np.split(data["sound"], np.cumsum(data["length"])[:-1])
            for (at, name), sound in zip(json.loads(str(data["names"])), sounds, strict=True):
                text = texts[at]
                found[at] = CorpusItem(
                    f"{given.corpus}-{at}", text.task, text.text, name, partial(_again, sound)
                )
    return iter([found[at] for at in sorted(found)])


def _again(sound: Samples) -> Samples:
    return sound


def _hear(work: tuple[int, argparse.Namespace]) -> Path:
    number, given = work
    language = Language.load("en-US")
    path = Path(f"{given.kept}.{number + 1:02}")
    part = RunPart(number + 1, given.processes)
    conditions = [CONDITIONS[name] for name in given.conditions.split(",")]
    measured = MeasuredListener("ear", found()["ear"], language, Policy(), given.seed)
    go_on(path, measured, list(said(given)), conditions, part)
    return path


def main(arguments: Sequence[str] | None = None) -> None:
    """Says or hears a corpus."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("do", choices=("say", "hear"))
    parser.add_argument("out", type=Path, help="folder of what is said")
    parser.add_argument("--corpus", choices=tuple(CORPORA), default="readings")
    parser.add_argument("--count", type=int, default=5000)
    parser.add_argument("--seed", type=int, default=21)
    parser.add_argument("--side", choices=("test", "choose"), default="test")
    parser.add_argument("--wheels", type=Path, help="to say: folder of the data packages")
    parser.add_argument("--voices", type=Path, help="to say: folder of the styles")
    parser.add_argument("--device", default="cpu")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--conditions", default=DEFAULT)
    parser.add_argument("--kept", help="to hear: file of the answers, a part for each process")
    given = parser.parse_args(arguments)
    given.out.mkdir(parents=True, exist_ok=True)
    work = [(number, given) for number in range(given.processes)]
    with ExitStack() as ends:
        share: Share = map
        if given.processes > 1:
            share = ends.enter_context(get_context("spawn").Pool(given.processes)).imap
        if given.do == "say":
            print(sum(share(_say, work)), "phrases said")
        else:
            print(many_tables(line for path in share(_hear, work) for line in kept(path)))


if __name__ == "__main__":
    main()
