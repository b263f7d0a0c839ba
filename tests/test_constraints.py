"""The pinned versions that the tests run with are versions that pyproject.toml allows."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).parents[1]
EXTRAS = ("test", "postgresql", "board", "neural")
"""What scripts/test.sh installs."""


def pinned() -> dict[str, str]:
    """Package -> version, in constraints.txt."""
    lines = (ROOT / "scripts" / "constraints.txt").read_text(encoding="utf-8").splitlines()
    return {canonicalize_name(n): v for n, _, v in (line.partition("==") for line in lines)}


def test_every_dependency_of_the_tests_is_pinned_within_its_bounds() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted = [*project["dependencies"]]
    for extra in EXTRAS:
        wanted += project["optional-dependencies"][extra]
    for requirement in map(Requirement, wanted):
        version = pinned()[canonicalize_name(requirement.name)]
        assert requirement.specifier.contains(version), f"{requirement}: {version} is pinned"


def test_the_lock_has_the_pinned_versions_with_hashes_of_all_but_torch() -> None:
    text = (ROOT / "scripts" / "lock.txt").read_text(encoding="utf-8")
    entries = re.findall(r"^(\S+)==(\S+)((?: \\\n    --hash=sha256:[0-9a-f]{64})+)$", text, re.M)
    locked = {canonicalize_name(name): version for name, version, _ in entries}
    assert len(locked) == len(re.findall(r"^[^#\s]", text, re.M))  # none without a hash
    versions = pinned()
    assert versions.pop("torch")
    assert locked == versions
