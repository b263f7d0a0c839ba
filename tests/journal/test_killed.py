"""kill -9 at any moment: nothing acknowledged is lost or doubled. The long run is a benchmark."""

from __future__ import annotations

from tests.journal.killing import kill_points


def test_killed_while_writing(place: str) -> None:
    kept, acknowledged = kill_points(place, points=12, seed=20260105)
    assert kept >= acknowledged > 12
