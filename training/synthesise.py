"""Says a corpus with many voices of flite and espeak-ng, on all processors.

Each line has its voice from the seed. Written as clip files of a few thousand lines each, so that
training can begin before the last is said.
"""

from __future__ import annotations

import argparse
import math
import random
import subprocess
from collections.abc import Sequence
from multiprocessing import Pool
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
from numpy.typing import NDArray
from scipy.io import wavfile
from scipy.signal import resample_poly

from training.clips import RATE, Clip, trimmed, write_clips

_PER_FILE = 1000
FLITE = ("awb", "rms", "slt", "kal16")
ACCENTS = (
    "en-us", "en-us", "en-us", "en-us", "en-gb", "en-gb", "en-gb-x-rp", "en-us-nyc",
    "en-gb-scotland", "en-029", "en-gb-x-gbclan", "en-gb-x-gbcwmd",
)  # fmt: skip
VARIANTS = (
    "Alex Alicia Andrea Andy Annie Denis Diogo Gene Gene2 Henrique Hugo Jacky Lee Marco Mario"
    " Michael Mike Nguyen Storm adam anika antonio aunty belinda benjamin boris caleb david ed"
    " edward edward2 f1 f2 f3 f4 f5 grandma grandpa gustave iven iven2 iven3 iven4 john klatt"
    " klatt2 klatt3 klatt4 linda m1 m2 m3 m4 m5 m6 m7 m8 marcelo max michel miguel norbert pablo"
    " paul pedro quincy rob robert sandro shelby steph steph2 steph3 travis victor zac"
).split()


def command(text: str, out: Path, rng: random.Random) -> tuple[str, ...]:
    """Says ``text`` to the file ``out`` in a voice at random."""
    if rng.random() < 0.42:
        voice = rng.choice(FLITE)
        usual = {"awb": 125, "rms": 100, "slt": 175, "kal16": 100}[voice]
        return (
            "flite", "-voice", voice, "-t", text, "-o", str(out),
            "--setf", f"duration_stretch={rng.uniform(0.75, 1.35):.2f}",
            "--setf", f"int_f0_target_mean={usual * rng.uniform(0.75, 1.35):.0f}",
        )  # fmt: skip
    voice = rng.choice(ACCENTS)
    if rng.random() < 0.85:
        voice += "+" + rng.choice(VARIANTS)
    return (
        "espeak-ng", "-v", voice, "-w", str(out), "-s", str(rng.randint(115, 215)),
        "-p", str(rng.randint(20, 75)), "-g", str(rng.choice((0, 0, 0, 2, 5))), text,
    )  # fmt: skip


def say(text: str, out: Path, rng: random.Random) -> NDArray[np.int16] | None:
    """``text`` by a voice at random, 16 kHz, without the quiet around it; None: it failed.

    ``out``: a file to be written over.
    """
    try:
        subprocess.run(command(text, out, rng), capture_output=True, check=True, timeout=20)
        rate, sound = wavfile.read(out)
    except (subprocess.SubprocessError, OSError, ValueError):
        return None
    if rate != RATE:
        common = math.gcd(rate, RATE)
        sound = resample_poly(sound.astype(np.float32), RATE // common, rate // common)
    return trimmed(np.asarray(sound))


def _share(work: tuple[int, Sequence[str], int, Path]) -> int:
    number, lines, seed, out = work
    rng = random.Random(f"{seed} {number}")
    clips: list[Clip] = []
    with TemporaryDirectory(dir="/dev/shm" if Path("/dev/shm").is_dir() else None) as folder:
        for line in lines:
            _, spoken, phones = line.split("\t")
            sound = say(spoken, Path(folder) / "said.wav", rng)
            if sound is not None:
                clips.append((sound, [int(p) for p in phones.split()]))
    write_clips(out / f"made-{number:04}.npz", clips, "made")
    return len(clips)


def main() -> None:
    """Says a corpus whose lines are words, words for the voice, and phones' indices."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("corpus", type=Path)
    parser.add_argument("out", type=Path)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--processes", type=int, default=None)
    given = parser.parse_args()
    given.out.mkdir(parents=True, exist_ok=True)
    lines = given.corpus.read_text(encoding="utf-8").splitlines()
    work = [
        (number, lines[at : at + _PER_FILE], given.seed, given.out)
        for number, at in enumerate(range(0, len(lines), _PER_FILE))
    ]
    with Pool(given.processes) as pool:
        said = sum(pool.imap_unordered(_share, work))
    print(f"{said} of {len(lines)} lines said")


if __name__ == "__main__":
    main()
