"""Imported once by the server of tests/forked.py: what every run reads the same."""

import assistant.cli.work_commands  # noqa: F401
from assistant.language import Language
from assistant.language.pronouncing import bundled_dictionary
from assistant.procedure.lint import lint_file
from assistant.resources import data_folder

bundled_dictionary()
Language.load("en-US")
lint_file(data_folder("procedures") / "kb2_input_shaft.yaml")  # its sentences are read for figures
