"""A step kind is one file and one line in each of four rooms, and nothing else in the code.

The guide's own example is built, word for word, in a copy of the package: checked, rehearsed,
worked through at the keyboard with a stop in between, shown on the board and recorded.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from assistant.board.kinds import KINDS as ON_THE_BOARD
from assistant.dialogue.kinds import KINDS as IN_THE_DIALOGUE
from assistant.language import Language
from assistant.procedure.kinds import STEP_KINDS
from assistant.report.kinds import KINDS as IN_THE_RECORD

ROOT = Path(__file__).parent.parent
GUIDE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
LINES = {"procedure": "CountingKind", "dialogue": "CountingDialogue", "report": "CountingReport",
         "board": "CountingBoard"}  # fmt: skip

PROCEDURE = """\
id: kb2_rollers
title: Kettlebeck KB-2, needle rollers of the planet
revision: A
governing: {title: Kettlebeck KB-2 Workshop Manual, revision: C, date: "2025-01-01"}
steps:
  - {id: lock, kind: caution, title: Sharp cage, say: The edge of the cage cuts. Wear gloves.}
  - {id: place, kind: action, title: Place the rollers, say: Place the needle rollers in the cage.}
  - id: count
    kind: counting
    title: Count the rollers
    say: Count before the cover closes.
    what: needle rollers
    number: 24
  - {id: close, kind: action, title: Close the cover, say: Close the cover over the rollers.}
"""


def blocks() -> dict[str, str]:
    """The files of the guide's example: path -> text."""
    found = re.findall(r"```(?:python|yaml)\n# (\S+)\n(.*?)```", GUIDE, re.DOTALL)
    return dict(found)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the package with the example's files and lines in it."""
    copy = tmp_path_factory.mktemp("house")
    for folder in ("assistant", "grammars", "procedures"):
        shutil.copytree(ROOT / folder, copy / folder)  # compiled modules too
    for path, text in blocks().items():
        file = copy / path
        if file.suffix == ".yaml":
            text = file.read_text(encoding="utf-8") + text
        else:
            assert not file.exists()
        file.write_text(text, encoding="utf-8")
    for room, name in LINES.items():
        _enter(copy / "assistant" / room / "kinds" / "__init__.py", room, name)
    (copy / "rollers.yaml").write_text(PROCEDURE, encoding="utf-8")
    return copy


def _enter(listed: Path, room: str, name: str) -> None:
    """The kind's line, behind the last one of the list, and the import that it needs."""
    text = listed.read_text(encoding="utf-8")
    imported = f"from assistant.{room}.kinds.counting import {name}\n"
    text = text.replace("\nfrom assistant", f"\n{imported}from assistant", 1)
    start = text.index("\nKINDS")
    end = text.index("\n)\n", start)
    listed.write_text(f"{text[:end]}\n    {name}(),{text[end:]}", encoding="utf-8")


def call(house: Path, *arguments: str, lines: Sequence[str] = ()) -> str:
    """What a command of the copy prints; it must succeed."""
    done = subprocess.run(
        [sys.executable, "-m", "assistant", *arguments],
        cwd=house,
        env={**os.environ, "PYTHONPATH": str(house), "ASSEMBLY_ASSISTANT_DATA": str(house / "data"),
             "PYTHONUTF8": "1"},
        input="".join(f"{line}\n" for line in lines),
        capture_output=True,
        encoding="utf-8",
        check=False,
    )  # fmt: skip
    assert done.returncode == 0, f"{done.stdout}\n{done.stderr}"
    return done.stdout


def test_the_four_rooms_list_the_same_kinds_in_the_same_order() -> None:
    for listed in (IN_THE_DIALOGUE, IN_THE_RECORD, ON_THE_BOARD):
        assert tuple(kind.kind for kind in listed) == STEP_KINDS


def test_the_guide_shows_one_file_in_each_room() -> None:
    code = [path for path in blocks() if path.endswith(".py")]
    assert code == [f"assistant/{room}/kinds/counting.py" for room in LINES]


def test_its_procedure_is_checked_and_rehearsed(house: Path) -> None:
    call(house, "check", "rollers.yaml")
    assert "Count: 24 needle rollers." in call(house, "print", "rollers.yaml")
    assert "Count the needle rollers, and say the number" in call(house, "rehearse", "rollers.yaml")
    (house / "wrong.yaml").write_text(PROCEDURE.replace("number: 24", "number: many"))
    done = subprocess.run(
        [sys.executable, "-m", "assistant", "check", "wrong.yaml"],
        cwd=house, env={**os.environ, "PYTHONPATH": str(house)}, capture_output=True,
        encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode != 0
    assert "wrong.yaml:13: The key 'number' in step 'count' cannot be 'many'" in done.stderr


def test_it_is_worked_through_stopped_taken_up_and_recorded(house: Path) -> None:
    language = Language.load("en-US")
    yes, done = language.phrase_for("confirm"), language.phrase_for("done")
    stop = language.phrase_for("stop_work")
    begin = [language.say_spelling("C"), yes, language.phrase_for("understood"), done]
    run = ("run", "rollers.yaml", "--builder", "Otto Brandwick", "--keyboard", "--voice", "silent")
    said = call(house, *run, lines=[*begin, language.say_spelling("23"), yes, stop, yes])
    assert "There must be 24 needle rollers" in said
    again = ["resume", "--keyboard", "--voice", "silent"]
    said = call(house, *again, lines=[language.say_spelling("24"), yes, done])
    assert "I heard two four. Say that is right" in said
    assert "record: 24 needle rollers" in said
    call(house, "record", "--json", "record.json", "--html", "record.html")
    record = json.loads((house / "record.json").read_text(encoding="utf-8"))
    counted = [m for m in record["moments"] if m["what"] == "counted at count"]
    assert [m["detail"] for m in counted] == ["24 needle rollers"]
    assert record["finished_at"]
    assert "24 needle rollers" in (house / "record.html").read_text(encoding="utf-8")


BOARD = """
from assistant.board.build import build_view
from assistant.board.view import Snapshot
from assistant.board.words import load_words
from assistant.dialogue.context import Context
from assistant.dialogue.kinds.counting import Counting
from assistant.dialogue.state import State
from assistant.language import Language
from assistant.procedure.loader import load_procedure
for tag in ("en-US", "ko-KR"):
    context = Context(load_procedure("rollers.yaml"), Language.load(tag))
    state = State(awaiting=Counting("24"), step="count", history=("count",), opened=True)
    view = build_view(context, Snapshot(state), load_words(tag))
    print(view.task, view.figure.text, view.step.kind)
"""


def test_the_board_shows_it_in_every_language(house: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", BOARD], cwd=house, check=False, capture_output=True,
        encoding="utf-8", env={**os.environ, "PYTHONPATH": str(house), "PYTHONUTF8": "1"},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    english, korean = done.stdout.splitlines()
    assert english == "Count, and say the number 24 count"
    assert korean.split()[-2:] == ["24", "개수"]
