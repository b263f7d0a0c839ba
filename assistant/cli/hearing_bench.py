"""The command that opens the hearing bench; where a library is missing, it names it."""

from __future__ import annotations

import typer
import typer.main

from assistant.cli.errors import fail
from assistant.cli.lazy_group import without_flag_types

app = typer.Typer()


@app.command(
    "hearing",
    context_settings={"allow_extra_args": True, "ignore_unknown_options": True},
    add_help_option=False,
)
def hearing(context: typer.Context) -> None:
    """Measure how well numbers and commands are heard, and print tables."""
    try:
        from assistant.evaluation.command import app as bench
    except ModuleNotFoundError as missing:
        fail(
            f"The hearing bench needs {missing.name}; "
            "install the assistant again with its extra 'bench' (README, Quick start)."
        )
    command = without_flag_types(typer.main.get_command(bench))
    command(args=context.args, prog_name="assembly-assistant hearing")
