"""The command that prints a procedure's phrase card."""

from __future__ import annotations

from pathlib import Path

import typer

from assistant.cli.errors import AskedError, plainly
from assistant.cli.languages import LANGUAGE
from assistant.cli.terminal import tell
from assistant.procedure.faults import ProcedureFaults
from assistant.report.export_file import PDF_MARK, ExportError, target_of, write_export
from assistant.session.rehearsal import RehearsalError

app = typer.Typer()


@app.command("card")
@plainly(ProcedureFaults, AskedError, RehearsalError, ExportError)
def card(
    procedure: str = typer.Argument(..., help="A procedure's name or file."),
    pdf: Path = typer.Option(..., "--pdf", help="Write the card to this file as a PDF, A4."),
    language: str = LANGUAGE,
) -> None:
    """Print a one-page card of what to say in a procedure, to hang at the bench."""
    from assistant.board.phrase_card import phrase_card  # not for those who ask for help
    from assistant.cli.which_procedure import load_in
    from assistant.cli.workplace import context_for
    from assistant.report.card_pdf import card_pdf

    target = target_of(pdf, "pdf", ())
    made = card_pdf(phrase_card(context_for(load_in(procedure, language))))
    write_export(pdf, target, made + PDF_MARK)
    tell(f"The phrase card is in {pdf}; print it on A4.")
