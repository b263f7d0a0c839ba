"""Recorded people: who is in training, who is kept for calibration, who for tests.

The open recordings of spoken commands carry no names of their speakers. A recording's voice print
(mean and spread of its log-mel bands where somebody speaks: throat, microphone and room) is
grouped with its nearest, and whole groups go to one side, so that a person of the tests is
hardly met in training. Without names this cannot be certain, and the model card says so.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import soundfile
import torch
from numpy.typing import NDArray
from scipy.cluster.hierarchy import fcluster, linkage

from training.features import log_mel

SIDES = ("train", "calibration", "test")


def voice_print(path: Path) -> NDArray[np.float64]:
    """Mean and spread of the bands (160,) over the louder half of the frames."""
    sound, _ = soundfile.read(path, dtype="float32")
    mel = log_mel(torch.from_numpy(sound)[None])[0].numpy().astype(np.float64)
    loud = mel[:, mel.mean(0) > np.median(mel.mean(0))]
    mean = loud.mean(1)
    return np.concatenate([mean - mean.mean(), loud.std(1)])


def groups(paths: Sequence[Path], count: int) -> NDArray[np.int64]:
    """A number of its group for each recording."""
    prints = np.stack([voice_print(path) for path in paths])
    prints -= prints.mean(0)
    # Whitened by the leading components: single bands are nearly copies of their neighbours.
    left, size, _ = np.linalg.svd(prints, full_matrices=False)
    people: NDArray[np.int64] = fcluster(
        linkage(left[:, :20] * size[:20] ** 0.5, "ward"), count, "maxclust"
    )
    return people


def sides(paths: Sequence[Path], count: int, seed: int) -> dict[Path, str]:
    """Path -> its side: half of the recordings are the tests', a tenth for calibration."""
    group = groups(paths, count)
    order = sorted(set(group.tolist()))
    random.Random(seed).shuffle(order)
    found: dict[Path, str] = {}
    done = 0
    for number in order:
        share = done / len(paths)
        side = "test" if share < 0.5 else "calibration" if share < 0.6 else "train"
        for path, own in zip(paths, group, strict=True):
            if own == number:
                found[path] = side
                done += 1
    return found


def main() -> None:
    """Writes which recording is on which side."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("folder", type=Path, help="recordings, also in folders below")
    parser.add_argument("out", type=Path)
    parser.add_argument("--groups", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    paths = sorted(p for p in given.folder.rglob("*") if p.suffix in (".wav", ".flac"))
    with given.out.open("w", encoding="utf-8") as file:
        for path, side in sides(paths, given.groups, given.seed).items():
            print(path.relative_to(given.folder), side, sep="\t", file=file)


if __name__ == "__main__":
    main()
