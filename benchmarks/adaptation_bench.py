"""Does moving the bundled model's means to a speaker help on what it was not made from?

Run: python -m benchmarks.adaptation_bench [--people FOLDER] [--speaker NAME ...]
         [--count N] [--digits N]

Synthetic speakers: a transform from the phrases of the voice check at the voice's own tempo,
tried on readings and phrases of other words and tempi. People: recordings in FOLDER with
transcript.tsv, named WORD_SPEAKER_NUMBER.wav; every other recording of a word makes the
transform, the others try it, and the other way round. Prints a table, asserts nothing.
"random" (with --shuffled) stands for a transform from the same recordings with their words
shuffled: what a transform from wrong words does.
"""

from __future__ import annotations

import random
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Annotated

import numpy as np
import typer

from assistant.audio.synthesis.speakers import say
from assistant.evaluation import corpora
from assistant.evaluation.conditions import CLEAN, heard
from assistant.evaluation.statistics import Rate
from assistant.fitting.adaptation.acoustic_model import bundled_model
from assistant.fitting.adaptation.aligning import Aligner
from assistant.fitting.adaptation.transform import estimate
from assistant.fitting.taking import Checker, Take
from assistant.fitting.words import Asked, load_words
from assistant.language import Language
from assistant.resources import data_folder
from assistant.speech.endpoint import Endpointer
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine
from assistant.speech.types import Samples, Utterance

LEXICON = data_folder("grammars") / "en-US" / "lexicon.dict"
REJECT = 0.5


@dataclass(frozen=True)
class Said:
    """A phrase as somebody said it."""

    asked: Asked
    utterances: tuple[Utterance, ...]


@dataclass(frozen=True)
class Fold:
    """Phrases that a transform is made from, and phrases that it is tried on."""

    made_from: tuple[Said, ...]
    tried_on: tuple[Said, ...]


def main(
    people: Annotated[Path | None, typer.Option(help="Recordings of people.")] = None,
    speaker: Annotated[list[str] | None, typer.Option(help="Only these.")] = None,
    count: Annotated[int, typer.Option(help="Phrases tried of each synthetic voice.")] = 24,
    digits: Annotated[int, typer.Option(help="Tried recordings of each person; 0: all.")] = 0,
    shuffled: Annotated[bool, typer.Option(help="Also a transform from wrong words.")] = False,
) -> None:
    """Measure and print the table."""
    language = Language.load("en-US")
    sources: dict[str, Iterator[Fold]] = {v: _synthetic(v, language, count) for v in corpora.VOICES}
    if people is not None:
        sources = {w: iter(f) for w, f in _people(people, language, digits).items()}
    print("| speaker | transform | exact % | taken right % | taken for something else % |")
    print("|---|---|---|---|---|")
    total: dict[str, list[Take]] = defaultdict(list)
    for name in speaker or sources:
        own: dict[str, list[Take]] = defaultdict(list)
        for fold in sources[name]:
            for kind in ("none", "mllr", *(["random"] if shuffled else [])):
                own[kind] += _tried(fold, kind, language)
        for kind, takes in own.items():
            print(_row(name, kind, takes), flush=True)
            total[kind] += takes
    for kind, takes in total.items():
        print(_row("all", kind, takes))


def _tried(fold: Fold, kind: str, language: Language) -> list[Take]:
    with TemporaryDirectory() as folder:
        path = None
        if kind != "none":
            path = Path(folder) / "speaker.mllr"
            texts = [s.asked.text for s in fold.made_from]
            if kind == "random":
                random.Random(1).shuffle(texts)
            aligner = Aligner(LEXICON)
            found = estimate(
                bundled_model(),
                (
                    stretch
                    for said, text in zip(fold.made_from, texts, strict=True)
                    if len(said.utterances) == 1
                    for stretch in aligner.align(said.utterances[0].samples, text)
                ),
            )
            if found is None:
                sys.exit("too little speech for a transform")
            path.write_text(found.text(), "ascii")
        checker = Checker(PocketSphinxEngine(LEXICON, path), language)
    return [checker.again(s.asked, s.utterances) for s in fold.tried_on]


def _row(name: str, kind: str, takes: Sequence[Take]) -> str:
    exact = Rate(sum(t.heard == t.asked.text for t in takes), len(takes))
    taken = [t for t in takes if t.confidence >= REJECT]
    right = Rate(sum(t.right for t in taken), len(takes))
    wrong = Rate(sum(t.misled for t in taken), len(takes))
    return f"| {name} | {kind} | {exact} | {right} | {wrong} |"


def _synthetic(voice: str, language: Language, count: int) -> Iterator[Fold]:
    asked = load_words(language, "en-US").asked
    rng = random.Random(voice)
    others: list[Said] = []
    for maker in (corpora.readings, corpora.sampled):
        for item in maker(language, count // 2, rng.randrange(1000)).items:
            phrase = Asked(item.text, item.task, "other")
            others.append(_cut(phrase, say(item.text, voice, rng.choice(corpora.TEMPOS))))
    yield Fold(tuple(_cut(a, say(a.text, voice)) for a in asked), tuple(others))


def _people(folder: Path, language: Language, digits: int) -> dict[str, list[Fold]]:
    by_speaker: dict[str, tuple[list[Said], list[Said]]] = defaultdict(lambda: ([], []))
    seen: dict[tuple[str, str], int] = defaultdict(int)
    for item in corpora.folder_corpus(folder, language).items:
        who = item.name.split("_")[1]
        said = _cut(Asked(item.text, item.task, "other"), item.sound())
        by_speaker[who][seen[who, item.text] % 2].append(said)
        seen[who, item.text] += 1
    return {
        who: [Fold(tuple(one), _some(other, digits)), Fold(tuple(other), _some(one, digits))]
        for who, (one, other) in by_speaker.items()
    }


def _some(said: Sequence[Said], digits: int) -> tuple[Said, ...]:
    """``digits`` of them for both folds together, spread evenly over all."""
    if not digits or 2 * len(said) <= digits:
        return tuple(said)
    at = np.linspace(0, len(said) - 1, digits // 2).round().astype(int)
    return tuple(said[i] for i in at)


def _cut(asked: Asked, sound: Samples) -> Said:
    endpointer = Endpointer()
    padded = heard(sound, CLEAN, asked.text, 1)
    return Said(asked, (*endpointer.feed(padded), *endpointer.finish()))


if __name__ == "__main__":
    typer.run(main)
