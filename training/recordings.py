"""Open recordings of people as clip files."""

from __future__ import annotations

import argparse
import json
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import numpy as np
import soundfile
import soxr
from num2words import num2words
from numpy.typing import NDArray

from assistant.language import Language
from assistant.speech.ear.posteriors import LABELS
from training.clips import RATE, Clip, pack_clips, trimmed, write_clips
from training.phones import Pronunciations, targets

DIGITS = "zero one two three four five six seven eight nine".split()
DIGIT_SPEAKERS = ("jackson", "nicolas", "yweweler")
"""George, Lucas and Theo of the Free Spoken Digit Dataset are the tests."""

WAKE_WORDS = {
    "alexa": "AH L EH K S AH", "computer": "K AH M P Y UW T ER", "jarvis": "JH AA R V AH S",
    "smart mirror": "S M AA R T M IH R ER", "snowboy": "S N OW B OY",
    "view glass": "V Y UW G L AE S",
}  # fmt: skip
_EXTRA = {"oz": "ounce", "cappucino": "cappuccino", "ok": "okay", "no.": "number"}
SPELT: Pronunciations = {
    "cappuccino": (tuple("K AA P AH CH IY N OW".split()),),
    "espresso": (tuple("EH S P R EH S OW".split()),),
    "americano": (tuple("AH M EH R IH K AA N OW".split()),),
    "mocha": (tuple("M OW K AH".split()),),
    "latte": (tuple("L AA T EY".split()),),
}


def read(path: Path) -> NDArray[np.float32]:
    """A recording at 16 kHz, in the range of int16."""
    sound, rate = soundfile.read(path, dtype="float32")
    if sound.ndim > 1:
        sound = sound.mean(1)
    if rate != RATE:
        sound = soxr.resample(sound, rate, RATE)
    return np.asarray(sound * 32767, np.float32)


def digits(folder: Path) -> Iterator[Clip]:
    """Single digits of the training speakers (Free Spoken Digit Dataset, CC BY-SA 4.0)."""
    known = Language.load("en-US").pronunciations
    for path in sorted(folder.glob("*.wav")):
        digit, speaker, _ = path.stem.split("_")
        phones = targets(DIGITS[int(digit)], known)
        sound = trimmed(read(path))
        if speaker in DIGIT_SPEAKERS and phones and sound is not None:
            yield sound, phones


def wake(folder: Path) -> Iterator[Clip]:
    """Single words of more than fifty people (wake-word-benchmark, Apache 2.0)."""
    for word, said in WAKE_WORDS.items():
        for path in sorted(p for p in (folder / word).iterdir() if p.suffix in (".flac", ".wav")):
            try:
                sound = read(path)
            except soundfile.LibsndfileError:
                continue  # one of the 2,293 files breaks off
            # Crowd recordings begin and end with clicks of the button and much quiet.
            power = np.convolve(sound**2, np.ones(800) / 800, "same")
            loud = np.flatnonzero(power > power.max() / 1000)
            part = sound[max(0, loud[0] - 1600) : loud[-1] + 1600]
            if 0.3 * RATE < len(part) < 4 * RATE:
                yield part.astype(np.int16), [LABELS[p] for p in said.split()]


def plain(transcript: str) -> str:
    """A transcript as plain lower-case words, figures said."""
    text = transcript.lower().replace("-", " ").replace("oz", " oz")
    text = re.sub(r"\d+", lambda found: str(num2words(int(found[0]))).replace("-", " "), text)
    words = re.sub(r"[^a-z' ]", " ", text).split()
    return " ".join(_EXTRA.get(word, word) for word in words)


def kept(
    transcripts: Path, sides: Path, side: str, labels: Path, known: Pronunciations
) -> dict[str, str]:
    """File -> words, of one side, where each slot of the label is in the transcript."""
    wanted = json.loads(labels.read_text(encoding="utf-8"))
    of_side = {name for name, own in map(str.split, sides.read_text().splitlines()) if own == side}
    found: dict[str, str] = {}
    for line in transcripts.read_text(encoding="utf-8").splitlines():
        name, _, said = line.partition("\t")
        text = plain(said)
        slots = [plain(value) for value in wanted[name]["slots"].values()]
        if name in of_side and targets(text, known) and all(slot in text for slot in slots):
            found[name] = text
    return found


def commands(
    folder: Path, transcripts: Path, sides: Path, side: str, labels: Path
) -> Iterator[Clip]:
    """Spoken commands of more than fifty people (speech-to-intent-benchmark, Apache 2.0)."""
    known: Pronunciations = {**Language.load("en-US").pronunciations, **SPELT}
    for name, text in kept(transcripts, sides, side, labels, known).items():
        sound = trimmed(read(folder / name))
        if sound is not None:
            yield sound, targets(text, known) or []


def main() -> None:
    """Makes one source's clip file, packed to travel."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("source", choices=("digits", "wake", "commands"))
    parser.add_argument("folder", type=Path)
    parser.add_argument("out", type=Path, help="folder for the clip file")
    parser.add_argument("--transcripts", type=Path)
    parser.add_argument("--sides", type=Path)
    parser.add_argument("--labels", type=Path)
    given = parser.parse_args()
    made: Iterable[Clip]
    match given.source:
        case "digits":
            made = digits(given.folder)
        case "wake":
            made = wake(given.folder)
        case _:
            made = commands(given.folder, given.transcripts, given.sides, "train", given.labels)
    clips = list(made)
    path = given.out / f"{given.source}.npz"
    write_clips(path, clips, given.source)
    pack_clips(path)
    seconds = sum(len(sound) for sound, _ in clips) / RATE
    print(f"{given.source}: {len(clips)} clips, {seconds / 60:.1f} minutes")


if __name__ == "__main__":
    main()
