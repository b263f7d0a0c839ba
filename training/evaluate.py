"""Measures an exported model on voices and people that it was not trained on.

For every sound the right words stand among a closed set of others, and the likeliest is taken.
The corpora:

- single digits of three people (Free Spoken Digit Dataset),
- thirteen against thirty and so on in the same frame,
- digit runs against the same run with a digit dropped, changed or doubled,
- phrases of the tool's grammar against one another.

The last three are by voices that training never heard.
"""

from __future__ import annotations

import argparse
import hashlib
import random
from collections import defaultdict
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np
import soundfile
import soxr
from numpy.typing import NDArray

from assistant.audio.synthesis.speakers import cache_folder, say
from assistant.evaluation.conditions import CONDITIONS, heard
from assistant.evaluation.states import STATES
from assistant.language import Language
from assistant.voice.piper import PiperSynthesiser
from assistant.voice.pronounce import Respelling
from training.phones import targets
from training.recordings import DIGITS, read
from training.scoring import Ear, closed_set, distance, greedy, log_softmax

TEST_SPEAKERS = ("george", "lucas", "theo")
_TEENS = "thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
_TENS = "thirty forty fifty sixty seventy eighty ninety".split()
_FRAMES = (
    "{}", "reading {}", "reading {} millimeters", "reading {} newton meters", "{} point five",
    "reading two hundred {}", "bolt {}",
)  # fmt: skip
_TALK = "repeat that|go on|go back|where am i|step done|one was missed|that is right|stop work"

Voice = Callable[[str], NDArray[np.int16]]


@dataclass(frozen=True)
class Item:
    """A sound, what is said in it, and what it might be taken for (the truth among them)."""

    corpus: str
    key: str
    truth: str
    options: tuple[str, ...]
    sound: Callable[[], NDArray[np.int16]]


def _read(path: Path) -> NDArray[np.int16]:
    return read(path).astype(np.int16)


def digits(folder: Path, each: int = 8) -> Iterator[Item]:
    """``each`` recordings of each digit by each of the three people."""
    for speaker in TEST_SPEAKERS:
        for digit, word in enumerate(DIGITS):
            for take in range(each):
                path = folder / f"{digit}_{speaker}_{take}.wav"
                yield Item(
                    "digits, people", path.stem, word, tuple(DIGITS),
                    partial(_read, path),
                )  # fmt: skip


def teens(voice_name: str, voice: Voice) -> Iterator[Item]:
    """Thirteen or thirty in the same frame."""
    for frame in _FRAMES:
        for one, other in zip(_TEENS, _TENS, strict=True):
            options = (frame.format(one), frame.format(other))
            for text in options:
                yield Item(
                    f"teens and tens, {voice_name}", text, text, options,
                    partial(voice, text),
                )  # fmt: skip


def runs(voice_name: str, voice: Voice, count: int = 40) -> Iterator[Item]:
    """Runs of three to six digits against near misses."""
    rng = random.Random(f"runs {voice_name}")
    for _ in range(count):
        said = [rng.choice(DIGITS) for _ in range(rng.randint(3, 6))]
        near = {" ".join(said)}
        for at in range(len(said)):
            near.add(" ".join(said[:at] + said[at + 1 :]))
            near.add(" ".join([*said[:at], said[at], *said[at:]]))
            near |= {" ".join([*said[:at], d, *said[at + 1 :]]) for d in DIGITS}
        text = " ".join(said)
        yield Item(
            f"digit runs, {voice_name}", text, text, tuple(sorted(near)),
            partial(voice, text),
        )  # fmt: skip


def phrases(voice_name: str, voice: Voice, language: Language, count: int = 60) -> Iterator[Item]:
    """Phrases of the grammar against one another."""
    rng = random.Random(f"phrases {voice_name}")
    said: dict[str, None] = dict.fromkeys(_TALK.split("|"))
    while len(said) < count:
        said.setdefault(language.sample(STATES[rng.choice(list(STATES))], rng))
    for text in said:
        yield Item(f"phrases, {voice_name}", text, text, tuple(said), partial(voice, text))


def commands(folder: Path, transcripts: dict[str, str], corpus: str) -> Iterator[Item]:
    """People's commands against the same with one slot changed."""
    swaps = (
        ("single", "double", "triple"),
        ("light", "medium", "dark"),
        ("small", "medium", "large"),
        ("eight", "twelve", "sixteen", "twenty"),
        ("latte", "mocha", "coffee", "espresso"),
    )
    for name, text in sorted(transcripts.items()):
        words = text.split()
        options = {text}
        for at, word in enumerate(words):
            for swap in swaps:
                if word in swap:
                    options |= {" ".join([*words[:at], w, *words[at + 1 :]]) for w in swap}
        path = folder / name
        yield Item(
            corpus, path.stem, text, tuple(sorted(options)),
            partial(_read, path),
        )  # fmt: skip


@dataclass(frozen=True)
class Result:
    """What became of one sound in one condition."""

    corpus: str
    condition: str
    right: bool
    greedy_right: bool
    phones_wrong: int
    phones: int
    options: tuple[float, ...]
    said: str
    taken: str

    @property
    def lead(self) -> float:
        """Nats between the best two options."""
        best = sorted(self.options)[-2:]
        return best[-1] - best[0] if len(best) > 1 else float("inf")


def measure(
    ear: Ear,
    items: Sequence[Item],
    conditions: Sequence[str],
    language: Language,
    temperature: float,
) -> Iterator[Result]:
    """Every item in every condition."""
    known = language.pronunciations
    for item in items:
        clean = item.sound()
        expected = targets(item.truth, known) or []
        for condition in conditions:
            sound = heard(clean, CONDITIONS[condition], item.key, 7)
            logits = ear.logits(sound)
            found = closed_set(log_softmax(logits, temperature), item.options, known)
            own = greedy(logits)
            yield Result(
                item.corpus, condition, item.options[int(found.argmax())] == item.truth,
                own == expected, distance(own, expected), len(expected), tuple(found.tolist()),
                item.truth, item.options[int(found.argmax())],
            )  # fmt: skip


def table(results: Sequence[Result]) -> str:
    """By corpus and condition: right in the closed set, greedy phones all right, phone errors."""
    groups: dict[tuple[str, str], list[Result]] = defaultdict(list)
    for result in results:
        groups[result.corpus, result.condition].append(result)
    lines = [
        "| corpus | condition | sounds | right | all phones | phone errors |",
        "|---|---|---|---|---|---|",
    ]
    for (corpus, condition), own in groups.items():
        right = sum(r.right for r in own)
        whole = sum(r.greedy_right for r in own)
        errors = sum(r.phones_wrong for r in own) / max(1, sum(r.phones for r in own))
        lines.append(
            f"| {corpus} | {condition} | {len(own)} | {right} ({right / len(own):.1%}) |"
            f" {whole / len(own):.0%} | {errors:.1%} |"
        )
    return "\n".join(lines)


def reliability(results: Sequence[Result]) -> str:
    """How often the likeliest was right, by the probability it was given among its options."""
    bins = (0.0, 0.5, 0.7, 0.9, 0.97, 0.99, 0.999, 1.01)
    rows: dict[int, list[tuple[float, bool]]] = defaultdict(list)
    for result in results:
        values = np.array(result.options)
        share = np.exp(values - np.logaddexp.reduce(values))
        top = float(share.max())
        rows[int(np.searchsorted(bins, top, "right"))].append((top, result.right))
    lines = ["| probability given | sounds | mean | right |", "|---|---|---|---|"]
    for number in sorted(rows):
        own = rows[number]
        mean = sum(p for p, _ in own) / len(own)
        right = sum(r for _, r in own) / len(own)
        low, high = bins[number - 1], min(1.0, bins[number])
        lines.append(f"| {low:g} to {high:g} | {len(own)} | {mean:.3f} | {right:.1%} |")
    return "\n".join(lines)


def neural_voice(folder: Path) -> Voice:
    """A fetched Piper voice; what it said is kept, for it never says a line twice alike."""
    synthesiser, respell = PiperSynthesiser(folder, "en-US"), Respelling.of_language("en-US")

    def voice(text: str) -> NDArray[np.int16]:
        key = hashlib.sha256(f"{synthesiser.identity}|ear|{text}".encode()).hexdigest()[:32]
        kept = cache_folder() / f"{key}.flac"
        if not kept.is_file():
            spoken = synthesiser.synthesise(respell(text), 174)
            sound = soxr.resample(spoken.samples, spoken.rate, 16_000)
            kept.parent.mkdir(parents=True, exist_ok=True)
            soundfile.write(kept, sound, 16_000, format="FLAC")
        return read(kept).astype(np.int16)

    return voice


def main() -> None:
    """Prints the tables."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("model", type=Path)
    parser.add_argument("--digits", type=Path, help="recordings of the Free Spoken Digit Dataset")
    parser.add_argument("--people", type=Path, help="recordings of spoken commands")
    parser.add_argument("--transcripts", type=Path, help="of those: name, tab, words")
    parser.add_argument("--neural", type=Path, help="folder of a Piper voice")
    parser.add_argument("--festival", nargs="*", default=["kal_diphone", "slt_hts"])
    parser.add_argument("--conditions", default="clean,hum 10 dB,babble 10 dB")
    parser.add_argument("--temperature", type=float, default=1.0)
    parser.add_argument("--only", default="", help="corpora whose name holds this")
    given = parser.parse_args()
    language = Language.load("en-US")
    items: list[Item] = []
    if given.digits is not None:
        items += digits(given.digits)
    if given.people is not None:
        lines = (line.partition("\t") for line in given.transcripts.read_text().splitlines())
        items += commands(given.people, {name: text for name, _, text in lines}, "commands, people")
    named: dict[str, Voice] = {n: partial(say, speaker=n) for n in given.festival}
    if given.neural is not None:
        named[given.neural.name] = neural_voice(given.neural)
    for name, voice in named.items():
        items += [*teens(name, voice), *runs(name, voice), *phrases(name, voice, language)]
    items = [item for item in items if given.only in item.corpus]
    ear = Ear(given.model)
    results = list(measure(ear, items, given.conditions.split(","), language, given.temperature))
    print(table(results))
    print()
    print(reliability(results))
    wrong = [r for r in results if not r.right]
    for result in wrong[:40]:
        print("wrong:", result.corpus, result.condition, result.said, "->", result.taken,
              f"{result.lead:.1f} nats")  # fmt: skip


if __name__ == "__main__":
    main()
