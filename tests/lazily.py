"""A module that is imported when something of it is first used.

Every worker reads all test files to know the tests in them, and runs a third of them. A library
that takes a second to import, and is used by one file, is named here.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any


class Lazily:
    """Stands for the module ``name``."""

    def __init__(self, name: str) -> None:
        self._name = name

    def __getattr__(self, attribute: str) -> Any:
        if attribute.startswith("_"):  # pytest asks every name of a file what it is
            raise AttributeError(attribute)
        return getattr(import_module(self._name), attribute)
