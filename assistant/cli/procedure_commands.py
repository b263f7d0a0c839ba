"""Commands about a procedure: check, print, compare, translate, schema, starter."""

from __future__ import annotations

from pathlib import Path

import typer

from assistant.cli.errors import AskedError, fail, plainly
from assistant.cli.languages import LANGUAGE
from assistant.cli.terminal import tell
from assistant.cli.which_procedure import find_procedure, must_be_in
from assistant.procedure.describe import describe
from assistant.procedure.faults import ProcedureFaults
from assistant.procedure.lint import lint_file
from assistant.procedure.loader import load_procedure
from assistant.procedure.revision_diff import in_words
from assistant.procedure.schema import schema_text
from assistant.procedure.starter import starter_from_file
from assistant.procedure.step_list import StepListError
from assistant.procedure.unit_translation import TranslationError, translations
from assistant.report.export_file import ExportError, ExportKind, target_of, write_export

app = typer.Typer()


@app.command("check")
@plainly(ProcedureFaults, AskedError)
def check(
    procedure: str = typer.Argument(..., help="A procedure's name or file."),
    language: str = LANGUAGE,
) -> None:
    """Check a procedure: every fault of form and meaning, with its line."""
    path = find_procedure(procedure, language)
    findings = lint_file(path)
    must_be_in(load_procedure(path), language, path)
    for finding in findings:
        tell(str(finding))
    errors = sum(f.level == "error" for f in findings)
    tell(f"{path}: {errors} errors, {len(findings) - errors} warnings.")
    if errors:
        raise typer.Exit(1)


@app.command("print")
@plainly(ProcedureFaults, AskedError)
def print_procedure(
    procedure: str = typer.Argument(..., help="A procedure's name or file."),
) -> None:
    """Print a whole procedure in plain text, cautions, torques and limits included."""
    tell(describe(load_procedure(find_procedure(procedure))))


@app.command("compare")
@plainly(ProcedureFaults, AskedError)
def compare(
    old: str = typer.Argument(..., help="The earlier revision's file."),
    new: str = typer.Argument(..., help="The later revision's file."),
) -> None:
    """Say what changed between two revisions of a procedure."""
    before, after = load_procedure(find_procedure(old)), load_procedure(find_procedure(new))
    tell(in_words(before, after))


@app.command("starter")
@plainly(StepListError)
def starter(
    steps: Path = typer.Argument(..., help="A step list: Markdown, text or CSV."),
    to: Path | None = typer.Option(None, "--to", help="Write to this file."),
) -> None:
    """Make a draft procedure from a step list, for you to fill in."""
    _give(starter_from_file(steps, steps if to is None else to), to, "starter")


@app.command("translate")
@plainly(ProcedureFaults, AskedError, TranslationError)
def translate(
    procedure: str = typer.Argument(..., help="A procedure's name or file."),
    system: str = typer.Argument(..., help="metric or inch."),
) -> None:
    """Print every limit and torque in the other unit system, never loosened."""
    if system not in ("metric", "inch"):
        raise AskedError(f"'{system}' is not a unit system; say metric or inch.")
    found = load_procedure(find_procedure(procedure))
    for translation in translations(found, "metric" if system == "metric" else "inch"):
        tell(str(translation))


@app.command("schema")
def schema(
    to: Path | None = typer.Option(None, "--to", help="Write to this file."),
) -> None:
    """Write the JSON Schema of procedure files, for editors."""
    _give(schema_text(), to, "schema")


def _give(text: str, to: Path | None, kind: ExportKind) -> None:
    if to is None:
        tell(text)
        return
    try:
        target = target_of(to, kind, ())
        write_export(to, target, (text.rstrip("\n") + "\n").encode())
    except ExportError as fault:
        fail(str(fault))
