"""The list of commands in the docs is that of the grammars."""

from __future__ import annotations

from assistant.resources import data_folder
from scripts.make_command_list import LANGUAGES, PAGE, command_list


def test_the_page_is_up_to_date() -> None:
    text = "run 'python -m scripts.make_command_list' and look at the change"
    assert PAGE.read_text(encoding="utf-8") == command_list(), text


def test_no_language_is_left_out() -> None:
    assert set(LANGUAGES) == {folder.name for folder in data_folder("grammars").iterdir()}
