"""Which walk catches each fault soonest: the tests try that one first.

``python -m tests.safety.soonest`` finds them and writes them down. Nothing but time depends on
them: when jobs or the dialogue have changed, a test goes on to all the other walks.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.safety.faults import FAULTS, Fault
from tests.safety.walk import walk

MOST = 200  # walks; most faults show in the first few
_WRITTEN = Path(__file__).with_name("soonest.json")


def catches(fault: Fault, seed: int) -> bool:
    """Whether the walk sees the fault, which must have been put in."""
    wanted = {rule.__name__ for rule in fault.caught_by}
    return any(rule in wanted for rule, _, _ in walk(seed, fault.pieces).breaches)


def seeds(fault: Fault) -> Iterator[int]:
    """All walks, the promising one first."""
    soonest = json.loads(_WRITTEN.read_text(encoding="utf-8")).get(fault.name, 0)
    yield soonest
    yield from (seed for seed in range(MOST) if seed != soonest)


def main() -> None:
    """Find them; those that are still right are not looked for."""
    found: dict[str, int] = {}
    for fault in FAULTS:
        with pytest.MonkeyPatch.context() as patch:
            fault.put(patch)
            found[fault.name] = next(seed for seed in seeds(fault) if catches(fault, seed))
        print(f"{found[fault.name]:4}  {fault.name}", flush=True)
    _WRITTEN.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
