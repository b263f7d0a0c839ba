"""The pinned versions that the tests run with are versions that pyproject.toml allows."""

from __future__ import annotations

import tomllib
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
EXTRAS = ("test", "postgresql", "board", "neural")
"""What scripts/test.sh installs."""


def test_every_dependency_of_the_tests_is_pinned_within_its_bounds() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"]]
    for extra in EXTRAS:
        wanted += project["optional-dependencies"][extra]
    lines = (ROOT / "scripts" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pinned = {canonicalize_name(n): v for n, _, v in (line.partition("==") for line in lines)}
    for requirement in map(Requirement, wanted):
        version = pinned[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version), f"{requirement}: {version} is pinned"
