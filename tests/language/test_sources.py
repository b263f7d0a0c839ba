"""Faults in a language's folder are reported with file and remedy."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from assistant.language import GrammarError, Language
from assistant.language.spec import ListenSpec, NumberSpec, Reading
from assistant.resources import data_folder


@pytest.mark.parametrize(
    ("file", "text", "told"),
    [
        ("commands.yaml", "go_on: {say: [go on]}", "'go_on' needs its phrases"),
        ("commands.yaml", "go_on: [a", r"commands\.yaml:\d+: "),
        ("prompts.yaml", "- a", r"prompts\.yaml:1: "),
        ("prompts.yaml", None, r"prompts\.yaml is missing"),
        ("extra.jsgf", "#JSGF V1.0;\ngrammar extra;\n<ones> = one;", "extra.jsgf:3|numbers.jsgf:"),
        ("extra.jsgf", "#JSGF V1.0;\ngrammar extra;\nimport <fog.*>;\n<q> = a;", "'fog'"),
        ("extra.jsgf", "grammar extra;", "extra.jsgf:1: "),
    ],
)
def test_a_fault_names_its_file(tmp_path: Path, file: str, text: str | None, told: str) -> None:
    folder = tmp_path / "en-US"
    shutil.copytree(data_folder("grammars") / "en-US", folder)
    if text is None:
        (folder / file).unlink()
    else:
        (folder / file).write_text(text, encoding="utf-8")
    with pytest.raises(GrammarError, match=told):
        Language.load("en-US", folder)


def test_another_language_is_only_data(tmp_path: Path) -> None:
    # Sino-Korean numerals in outline: digits and powers of ten in turn, the point read "jeom".
    folder = tmp_path / "xx"
    shutil.copytree(data_folder("grammars") / "en-US", folder)
    (folder / "numbers.jsgf").write_text(
        """#JSGF V1.0;
grammar numbers;
<ones> = il {n:1} | i {n:2} | sam {n:3} | o {n:5};
<digit> = il {d:1} | i {d:2} | sam {d:3} | o {d:5};
<number> = [<ones>] sip {x:10} [<ones>] | <ones> [jeom {point} <digit>+];
""",
        encoding="utf-8",
    )
    (folder / "readings.jsgf").write_text(
        """#JSGF V1.0;
grammar readings;
<quantity> = <number> miri {unit:mm} {when:unit:mm};
<reading> = <any_quantity> cheukjeong;
""",
        encoding="utf-8",
    )
    spec = ListenSpec(reading=NumberSpec(("mm",), 1))
    tongue = Language.load("xx", folder)
    for said, written in (("sam sip o", "35 mm"), ("sip", "10 mm"), ("il jeom o", "1.5 mm")):
        (meaning,) = tongue.interpret(spec, f"{said} miri cheukjeong")
        assert isinstance(meaning, Reading)
        assert str(meaning.indication) == written
