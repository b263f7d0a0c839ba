"""kill -9 at any moment: nothing acknowledged is lost or doubled. The long run is a benchmark."""

from __future__ import annotations

from pathlib import Path

from tests.journal.killing import kill_points
from tests.systems import POSIX

pytestmark = POSIX


def test_killed_while_writing(place: str) -> None:
    kept, acknowledged = kill_points(place, points=50, seed=20260105)
    assert kept >= acknowledged > 50


def test_killed_while_the_store_is_made(tmp_path: Path) -> None:
    """Some of these fall into the migrations: opening again makes what is missing."""
    for seed in range(12):
        kill_points(str(tmp_path / f"{seed}.db"), points=2, seed=seed)
