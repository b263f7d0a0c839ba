"""Imported once by the server of tests/forked.py: what every run reads the same."""

import gc
from pathlib import Path
from tempfile import TemporaryDirectory

import assistant.cli.work_commands  # noqa: F401
from assistant.journal.store import SqlJournal
from assistant.language import Language
from assistant.language.pronouncing import bundled_dictionary
from assistant.procedure.lint import lint_file
from assistant.resources import data_folder

bundled_dictionary()
Language.load("en-US")
lint_file(data_folder("procedures") / "kb2_input_shaft.yaml")  # its sentences are read for figures
with TemporaryDirectory() as folder:  # what makes a store is slow to import
    SqlJournal(str(Path(folder) / "records.db")).close()
gc.collect()
gc.freeze()  # a run that looks for garbage passes over all this, and so need not copy it
