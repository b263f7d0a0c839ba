"""Clip files: what synthesis and recordings hand to training.

An ``.npz`` with ``sound`` (int16, 16 kHz, clips one after another), ``length`` of each clip in
samples, ``phones`` (indices, one after another), ``count`` of phones of each clip, and ``group``,
the source they came from.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray

RATE = 16_000
Clip = tuple[NDArray[np.int16], Sequence[int]]


def write_clips(path: Path, clips: Sequence[Clip], group: str) -> None:
    """Write clips (sound, phones) of one source; whole or not at all."""
    aside = path.with_name("." + path.name)
    np.savez(
        aside,
        sound=np.concatenate([sound for sound, _ in clips]),
        length=np.array([len(sound) for sound, _ in clips]),
        phones=np.array([p for _, phones in clips for p in phones], np.int8),
        count=np.array([len(phones) for _, phones in clips]),
        group=np.array(group),
    )
    aside.replace(path)


def trimmed(sound: NDArray[np.generic], most_s: float = 12.0) -> NDArray[np.int16] | None:
    """``sound`` from 30 ms before it is heard to 30 ms after; None: nothing, or too long."""
    whole = np.clip(np.round(sound.astype(np.float32)), -32768, 32767).astype(np.int16)
    size = np.abs(whole.astype(np.int32))
    loud = np.flatnonzero(size > max(60, int(size.max()) // 120))
    if not len(loud):
        return None
    part = whole[max(0, loud[0] - 480) : loud[-1] + 480]
    return part if len(part) < most_s * RATE else None


def pack_clips(path: Path) -> None:
    """Put a clip file's sound into Ogg Vorbis next to it, to travel in a tenth of the room."""
    with np.load(path) as data:
        sound = data["sound"].astype(np.float32) / 32768
        rest = {name: data[name] for name in data.files if name != "sound"}
    out = path.with_suffix(".ogg")
    with soundfile.SoundFile(out, "w", RATE, 1, format="OGG", subtype="VORBIS") as file:
        for at in range(0, len(sound), RATE):  # the library breaks on long stretches at once
            file.write(sound[at : at + RATE])
    np.savez_compressed(path.with_suffix(".rest"), **rest)
    path.with_suffix(".rest.npz").replace(path.with_suffix(".rest"))


def unpack_clips(folder: Path, out: Path) -> None:
    """Clip files again, from what :func:`pack_clips` made of them."""
    for packed in sorted(folder.glob("*.ogg")):
        sound, _ = soundfile.read(packed, dtype="int16")
        with np.load(packed.with_suffix(".rest")) as rest:
            length = int(rest["length"].sum())
            np.savez(out / packed.with_suffix(".npz").name, sound=sound[:length], **rest)


if __name__ == "__main__":
    unpack_clips(Path(sys.argv[1]), Path(sys.argv[2]))
