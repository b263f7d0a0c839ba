"""Faults in a procedure file: what, where, and how to fix it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, order=True)
class Fault:
    """One fault: ``line`` counts from 1; 0 means the file as a whole."""

    file: str
    line: int
    message: str

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        return f"{where}: {self.message}"


class ProcedureFaults(ValueError):  # noqa: N818 - it holds many faults, not one error
    """Every fault found in one procedure file; ``str()`` prints them, a line each."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = sorted(set(faults))
        super().__init__("\n".join(map(str, self.faults)))


class FaultList:
    """Collects the faults of ``path`` while it is being read."""

    def __init__(self, path: Path) -> None:
        self.file = str(path)
        self.faults: list[Fault] = []

    def add(self, line: int, message: str) -> None:
        """Note a fault at ``line``; line breaks in the message are made spaces."""
        self.faults.append(Fault(self.file, line, " ".join(message.split())))

    def raise_if_any(self) -> None:
        """Raise :class:`ProcedureFaults` when at least one fault was noted."""
        if self.faults:
            raise ProcedureFaults(self.faults)
