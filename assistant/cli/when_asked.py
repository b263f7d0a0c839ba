"""Commands whose modules are imported when asked for: a mechanic waits for his own only."""

from __future__ import annotations

from collections.abc import Iterator, MutableMapping
from importlib import import_module
from typing import Any

import typer.main
from typer.core import TyperGroup

PLACES = {
    "run": "assistant.cli.work_commands",
    "resume": "assistant.cli.work_commands",
    "demo": "assistant.cli.work_commands",
    "procedures": "assistant.cli.procedure_commands",
    "check": "assistant.cli.procedure_commands",
    "print": "assistant.cli.procedure_commands",
    "compare": "assistant.cli.procedure_commands",
    "starter": "assistant.cli.procedure_commands",
    "translate": "assistant.cli.procedure_commands",
    "schema": "assistant.cli.procedure_commands",
    "rehearse": "assistant.cli.rehearse_command",
    "records": "assistant.cli.record_commands",
    "trend": "assistant.cli.record_commands",
    "record": "assistant.cli.record_commands",
    "verify": "assistant.cli.seal_commands",
    "seal": "assistant.cli.seal_commands",
    "doctor": "assistant.cli.bench_commands",
    "microphone": "assistant.cli.bench_commands",
    "fit": "assistant.cli.fitting_command",
    "hearing": "assistant.cli.hearing_bench",
    "models": "assistant.models.command",
}
"""Command, or group of commands -> the module whose ``app`` has it, in the order of the help."""


class Commands(MutableMapping[str, Any]):
    """The commands by name; each is made when it is looked up."""

    def __init__(self) -> None:
        self._made: dict[str, Any] = {}

    def __getitem__(self, name: str) -> Any:
        if name not in self._made:
            found = typer.main.get_group(import_module(PLACES[name]).app)
            self._made |= {name: found} if name not in found.commands else found.commands
        return self._made[name]

    def __iter__(self) -> Iterator[str]:
        return iter(PLACES)

    def __len__(self) -> int:
        return len(PLACES)

    def __setitem__(self, name: str, command: Any) -> None:
        self._made[name] = command

    def __delitem__(self, name: str) -> None:
        del self._made[name]


class CommandsWhenAsked(TyperGroup):
    """A group of the commands in ``PLACES``."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.commands = Commands()
