"""What fuzzing has found, and the real files it started from: read, or refused in words.

The long search is ``python -m benchmarks.fuzz``; what it finds goes into ``corpus/<target>/``.
"""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest

from tests.fuzz.targets import CORPUS, TARGETS, attempt

FOUND = [pytest.param(f.parent.name, f, id=f"{f.parent.name}-{f.name}")
         for f in sorted(CORPUS.glob("*/*"))]  # fmt: skip


@pytest.mark.parametrize("name", TARGETS)
def test_real_inputs_are_read(name: str) -> None:
    for seed in TARGETS[name].seeds():
        assert attempt(TARGETS[name], seed) == ""


@pytest.mark.parametrize(("name", "file"), FOUND)
def test_what_was_found_once_is_read_or_refused_in_words(name: str, file: Path) -> None:
    attempt(TARGETS[name], file.read_bytes())


@pytest.mark.parametrize("name", TARGETS)
def test_real_inputs_a_little_damaged_are_read_or_refused_in_words(name: str) -> None:
    rng = Random(20260105)
    seeds = list(TARGETS[name].seeds())
    for _ in range(12):
        data = bytearray(rng.choice(seeds))
        for _ in range(rng.randint(1, 4)):
            at = rng.randrange(len(data) + 1)
            match rng.randrange(3):
                case 0:
                    data[at : at + rng.randint(1, 40)] = b""
                case 1:
                    data[at:at] = rng.choice(
                        (b"\x00", b"\xff", b"[", b"'", b": ", b"\n", b"9" * 30)
                    )
                case _:
                    data[at:at] = data[rng.randrange(len(data) + 1) :][:60]
        attempt(TARGETS[name], bytes(data))
