"""Settings common to all tests."""

from __future__ import annotations

import pytest
from hypothesis import settings

# No timing assertions: a loaded machine must not turn a property test red.
settings.register_profile("bench", deadline=None)
settings.load_profile("bench")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Files that listen and speak in real time come first: they mostly wait, and go on beside the
    rest where there are several workers. Last of all, they would be waited for alone."""
    waits: dict[object, int] = {}
    for item in items:
        marks = {mark.name for mark in item.iter_markers()}
        waits[item.path] = max(waits.get(item.path, 0), ("slow" in marks) + ("audio" in marks))
    items.sort(key=lambda item: -waits[item.path])
