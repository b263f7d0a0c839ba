"""The spoken clips, held as one long sound on the training device, and windows put together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

Ints = NDArray[np.int64]
_ROOM = 1 << 14  # quiet samples before the first clip, so that reads may begin early


class Bank:
    """All clips; grows as files come in."""

    def __init__(self, device: torch.device, seconds: float) -> None:
        self.device = device
        self.sound = torch.zeros(int(seconds * 16_000) + _ROOM, dtype=torch.int16, device=device)
        self.end = _ROOM
        self.start: Ints = np.zeros(0, np.int64)
        self.length: Ints = np.zeros(0, np.int64)
        self.level: NDArray[np.float64] = np.zeros(0)
        self.phones: list[NDArray[np.int8]] = []
        self.members: dict[str, Ints] = {}
        self._seen: set[Path] = set()

    def take_in(self, folder: Path) -> int:
        """Read the clip files of ``folder`` that are new; how many clips there are now."""
        for path in sorted(folder.glob("*.npz")):
            if path not in self._seen and not path.name.startswith("."):
                self._seen.add(path)
                self._add(path)
        return len(self.length)

    def _add(self, path: Path) -> None:
        with np.load(path) as data:
            sound, length, group = data["sound"], data["length"], str(data["group"])
            phones = np.split(data["phones"], np.cumsum(data["count"])[:-1])
        if self.end + len(sound) > len(self.sound):
            return
        self.sound[self.end : self.end + len(sound)] = torch.from_numpy(sound).to(self.device)
        start = self.end + np.cumsum(length) - length
        self.end += len(sound)
        edges = np.cumsum(length) - length
        power = np.add.reduceat(sound.astype(np.float64) ** 2, edges) / np.maximum(length, 1)
        first = len(self.length)
        self.start = np.concatenate([self.start, start])
        self.length = np.concatenate([self.length, length])
        self.level = np.concatenate([self.level, np.sqrt(power) + 1.0])
        self.phones += phones
        own = np.arange(first, len(self.length))
        self.members[group] = np.concatenate([self.members.get(group, own[:0]), own])


@dataclass(frozen=True)
class Plan:
    """Pieces of clips in their places: all arrays have one entry a piece."""

    windows: int
    samples: int
    clip: Ints
    window: Ints
    at: Ints
    speed: NDArray[np.float64]
    gain: NDArray[np.float64]
    targets: list[NDArray[np.int8]]


def plan(
    bank: Bank, shares: Mapping[str, float], windows: int, samples: int, rng: np.random.Generator
) -> Plan:
    """Choose clips for ``windows`` windows of ``samples``; a few windows stay without speech."""
    groups = [g for g in shares if len(bank.members.get(g, ()))]
    edges = np.cumsum([shares[g] for g in groups])
    edges /= edges[-1]
    pieces: list[tuple[int, int, int, float, float]] = []
    targets: list[NDArray[np.int8]] = []
    for window in range(windows):
        said: list[NDArray[np.int8]] = []
        at = int(rng.uniform(0.02, 0.5) * 16_000)
        most = int(rng.choice([0, 1, 2, 9], p=[0.04, 0.5, 0.3, 0.16]))
        # Much quiet at either end half of the time, as an endpointer never gives it, else little.
        if most == 1 and rng.random() < 0.5:
            at = int(rng.uniform(0.02, 0.45) * samples)
        misses = 0
        while len(said) < most and misses < 4:
            own = bank.members[groups[int(np.searchsorted(edges, rng.random()))]]
            clip = int(own[rng.integers(len(own))])
            speed = float(np.exp(rng.uniform(np.log(0.84), np.log(1.19))))
            length = int(bank.length[clip] / speed)
            if at + length > samples - 800:
                misses += 1
                at = min(at, int(rng.uniform(0.02, 0.3) * 16_000)) if not said else at
                continue
            pieces.append((clip, window, at, speed, float(10 ** (rng.uniform(-4, 4) / 20))))
            said.append(bank.phones[clip])
            at += length + int(rng.uniform(0.05, 0.9) * 16_000)
        targets.append(np.concatenate(said) if said else np.zeros(0, np.int8))
    chosen, window_of, places, speeds, gains = zip(*pieces, strict=True)
    index = np.array(chosen, np.int64)
    return Plan(
        windows, samples, index, np.array(window_of, np.int64), np.array(places, np.int64),
        np.array(speeds), np.array(gains) / bank.level[index], targets,
    )  # fmt: skip


def lay(bank: Bank, drawn: Plan) -> Tensor:
    """The windows' speech (windows, samples), each piece at about a power of one."""
    device = bank.device
    speed = torch.tensor(drawn.speed, device=device, dtype=torch.float64)[:, None]
    start = torch.from_numpy(bank.start[drawn.clip]).to(device)[:, None]
    length = bank.length[drawn.clip]
    longest = int((length / drawn.speed).max())
    position = torch.arange(longest, device=device)[None] * speed
    inside = position < torch.from_numpy(length).to(device)[:, None] - 2
    whole = position.floor().long().clamp(max=int(length.max()))
    part = (position - whole).float()
    y0, y1, y2, y3 = (
        bank.sound[(start + whole + shift).clamp(0, len(bank.sound) - 1)].float()
        for shift in (-1, 0, 1, 2)
    )
    # Catmull-Rom: smooth enough that a slowed voice keeps its high frequencies clean.
    sound = y1 + 0.5 * part * (
        y2 - y0 + part * (2 * y0 - 5 * y1 + 4 * y2 - y3 + part * (3 * (y1 - y2) + y3 - y0))
    )
    sound *= inside * torch.tensor(drawn.gain, device=device, dtype=torch.float32)[:, None]
    out = torch.zeros(drawn.windows * drawn.samples + longest, device=device)
    base = torch.from_numpy(drawn.window * drawn.samples + drawn.at).to(device)[:, None]
    out.index_add_(0, (base + torch.arange(longest, device=device)).flatten(), sound.flatten())
    return out[: drawn.windows * drawn.samples].view(drawn.windows, drawn.samples)
