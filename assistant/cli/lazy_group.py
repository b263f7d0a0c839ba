"""Imports a command's module only when that command is run, so that each one starts fast."""

from __future__ import annotations

import gc
from collections.abc import Iterator, MutableMapping
from contextlib import contextmanager
from importlib import import_module
from typing import Any

import typer.main
from typer.core import TyperCommand, TyperGroup

from assistant.shared_options import ADVANCED

PLACES = {
    "run": "assistant.cli.work_commands",
    "resume": "assistant.cli.work_commands",
    "demo": "assistant.cli.demo_command",
    "try": "assistant.cli.first_try",
    "procedures": "assistant.cli.procedures_command",
    "check": "assistant.cli.procedure_commands",
    "print": "assistant.cli.procedure_commands",
    "compare": "assistant.cli.procedure_commands",
    "starter": "assistant.cli.procedure_commands",
    "translate": "assistant.cli.procedure_commands",
    "schema": "assistant.cli.procedure_commands",
    "rehearse": "assistant.cli.rehearse_command",
    "card": "assistant.cli.card_command",
    "records": "assistant.cli.record_commands",
    "trend": "assistant.cli.record_commands",
    "record": "assistant.cli.record_commands",
    "verify": "assistant.cli.seal_commands",
    "seal": "assistant.cli.seal_commands",
    "copy": "assistant.cli.shop_commands",
    "export": "assistant.cli.shop_commands",
    "import": "assistant.cli.shop_commands",
    "rights": "assistant.cli.shop_commands",
    "doctor": "assistant.cli.bench_commands",
    "microphone": "assistant.cli.bench_commands",
    "fit": "assistant.cli.fitting_command",
    "hearing": "assistant.cli.hearing_bench",
    "models": "assistant.models.command",
}
"""Command, or group of commands -> the module whose ``app`` has it, in the order of the help."""

HELP = {
    "run": "Build with a procedure: listen, guide, read back and record.",
    "resume": "Continue a session where it stopped, even weeks later or after a power cut.",
    "demo": "Run a whole session from a recording; fails unless the record is what was spoken.",
    "try": "Get to know it in three minutes: typed or spoken, with a hint before each answer.",
    "procedures": "List the procedures found: shipped ones and the workshop's own.",
    "check": "Check a procedure: every fault of form and meaning, with its line.",
    "print": "Print a whole procedure in plain text, cautions, torques and limits included.",
    "compare": "Say what changed between two revisions of a procedure.",
    "starter": "Make a draft procedure from a step list, for you to fill in.",
    "translate": "Print every limit and torque in the other unit system, never loosened.",
    "schema": "Write the JSON Schema of procedure files, for editors.",
    "rehearse": "Speak a whole procedure, every sentence in order, and say how long that takes.",
    "card": "Print a one-page card of what to say in a procedure, to hang at the bench.",
    "records": "List every session in the store, the newest first.",
    "trend": "Show one dimension over all builds, with control limits for single values.",
    "record": "Show a build record, or write it to a file.",
    "verify": "Say whether a record has been altered, and name the first entry that was.",
    "seal": "Sign the end of a record, so that cutting it short or rewriting it shows too.",
    "copy": "Copy a session with its sounds, pictures and seals to another store, and verify it.",
    "export": "Write a session with its sounds, pictures and seals to one file, for a stick.",
    "import": "Add the session in a file made by 'export'; refused if anything was changed.",
    "rights": "Let benches add to a shared PostgreSQL store, and neither alter nor delete.",
    "doctor": "Check what hearing, speaking and recording need, and how to fix what is missing.",
    "microphone": "Listen for a few seconds and say whether the level is right.",
    "fit": "Check how well your voice is heard here: three minutes of reading aloud, then advice.",
    "hearing": "Measure how well numbers and commands are heard, and print tables.",
    "models": "Speech models outside the package: list, download, install from files.",
}
"""What each does, for the list of all: it is shown without loading any of them."""

PANEL = {"schema": ADVANCED, "hearing": ADVANCED, "models": ADVANCED}
"""Commands that a mechanic need not know, under a heading of their own in that list."""


def without_flag_types(command: Any) -> Any:
    """``command``, whose help says of an option that takes no value no type either."""
    given = command.get_params

    command.get_params = lambda context: _untyped(given(context))
    for below in getattr(command, "commands", {}).values():
        without_flag_types(below)
    return command


def _untyped(options: list[Any]) -> list[Any]:
    for one in options:
        if getattr(one, "is_flag", False):
            one.metavar = ""
    return options


class Commands(MutableMapping[str, Any]):
    """The commands by name; each is made when it is looked up."""

    def __init__(self) -> None:
        self._made: dict[str, Any] = {}

    def __getitem__(self, name: str) -> Any:
        if name not in self._made:
            found = without_flag_types(typer.main.get_group(import_module(PLACES[name]).app))
            _collect_from_now_on()
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


def _collect_from_now_on() -> None:
    """Have what no longer is needed collected, but never look at what was imported.

    While the command was imported nothing was collected: looking through classes and functions
    that stay for good took a fifth of the start.
    """
    if not gc.isenabled():
        gc.freeze()
        gc.enable()


def _listed(name: str) -> TyperCommand:
    return TyperCommand(name, help=HELP[name], rich_help_panel=PANEL.get(name))


class LazyGroup(TyperGroup):
    """A group of the commands in ``PLACES``."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**settings)
        self.commands = Commands()

    def get_params(self, ctx: Any) -> Any:
        """Its own options; none that takes no value shows a type."""
        return _untyped(super().get_params(ctx))

    def format_help(self, ctx: Any, formatter: Any) -> None:
        """The list of commands."""
        with self._named_only():
            super().format_help(ctx, formatter)

    def shell_complete(self, ctx: Any, incomplete: str) -> Any:
        """Names that begin so."""
        with self._named_only():
            return super().shell_complete(ctx, incomplete)

    @contextmanager
    def _named_only(self) -> Iterator[None]:
        """Commands that can say what they do and cannot be run."""
        real = self.commands
        self.commands = {name: _listed(name) for name in PLACES}
        try:
            yield
        finally:
            self.commands = real
