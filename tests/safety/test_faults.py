"""The walk catches what it is there to catch."""

from __future__ import annotations

import pytest

from tests.safety.faults import FAULTS, Fault
from tests.safety.walk import walk

pytestmark = pytest.mark.slow
MOST = 200  # sessions; most faults show in the first few


@pytest.mark.parametrize("fault", FAULTS, ids=lambda f: f.name)
def test_the_walk_catches_the_fault(fault: Fault, monkeypatch: pytest.MonkeyPatch) -> None:
    fault.put(monkeypatch)
    wanted = {rule.__name__ for rule in fault.caught_by}
    walks = (walk(seed, fault.pieces) for seed in range(MOST))
    assert any(wanted & {rule for rule, _, _ in outcome.breaches} for outcome in walks)


def test_there_are_faults_enough() -> None:
    assert len(FAULTS) >= 12
