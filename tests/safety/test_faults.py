"""The walk catches what it is there to catch."""

from __future__ import annotations

import pytest

from tests.safety.faults import FAULTS, Fault
from tests.safety.soonest import catches, seeds

pytestmark = pytest.mark.slow


@pytest.mark.parametrize("fault", FAULTS, ids=lambda f: f.name)
def test_the_walk_catches_the_fault(fault: Fault, monkeypatch: pytest.MonkeyPatch) -> None:
    fault.put(monkeypatch)
    assert any(catches(fault, seed) for seed in seeds(fault))


def test_there_are_faults_enough() -> None:
    assert len(FAULTS) >= 12
