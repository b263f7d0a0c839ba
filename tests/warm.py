"""Imported once by the server of tests/forked.py: what every run reads the same."""

import assistant.cli.work_commands  # noqa: F401
from assistant.language import Language
from assistant.language.pronouncing import bundled_dictionary

bundled_dictionary()
Language.load("en-US")
