"""Whole sessions of the demonstration procedures, word for word.

What is shown and not said, or shown where less of it is said, stands in brackets.

Write the transcripts again with ``python -m tests.session.test_golden`` and read the difference.
"""

from __future__ import annotations

from datetime import timedelta
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from assistant.cli.bench_file import load_bench
from assistant.cli.demo import DemoScript, differences, read_script
from assistant.cli.people import people
from assistant.dialogue.effects import Say
from assistant.journal.pictures import PictureStore
from assistant.report.record import build_record
from assistant.session.edges import Sound
from assistant.session.picture_folder import PictureFolder
from assistant.session.session import Session
from tests.session.kit import (
    START,
    Edges,
    InterposedInput,
    MemoryJournal,
    StandInInput,
    demo_context,
    new_session,
    opened,
)
from tests.session.pictures import picture, put

GOLDEN = Path(__file__).parent.parent / "golden"
FIXTURES = Path(__file__).parent.parent.parent / "audio_fixtures"
SCRIPTS = {
    "kb2_input_shaft": FIXTURES / "kb2_input_shaft.yaml",
    "kb2_output_bearing": GOLDEN / "kb2_output_bearing.yaml",
    "kb2_coupling_guard": GOLDEN / "kb2_coupling_guard.yaml",
    "kb2_intermediate_shaft": GOLDEN / "kb2_intermediate_shaft.yaml",
    "kb2_gauge_practice": GOLDEN / "kb2_gauge_practice.yaml",
    "kb2_bevel_drive": GOLDEN / "kb2_bevel_drive.yaml",
    "kb5_lathe_spindle": GOLDEN / "kb5_lathe_spindle.yaml",
    "kb7_pipe_flange": GOLDEN / "kb7_pipe_flange.yaml",
    "kb9_standby_engine": GOLDEN / "kb9_standby_engine.yaml",
    "kb2_inspection_cover.ko-KR": GOLDEN / "kb2_inspection_cover.ko-KR.yaml",
}

# A bench with an inventory, and a builder who thinks in inches at a metric machine.
AT_THE_BENCH: dict[str, dict[str, object]] = {
    "kb2_intermediate_shaft": {
        "bench": load_bench(FIXTURES.parent / "docs" / "examples" / "kettlebeck_bench.yaml"),
        "habit": "inch",
    }
}


class Transcript(Edges):
    """Writes down what is heard and said, in order."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = []

    def heard(self, sound: Sound) -> None:
        self.lines.append(f"> {sound.recognition.hypotheses[0].text}")

    def said(self, said: Say) -> None:
        spoken = " ".join(filter(None, (said.tone[0], said.text)))
        self.lines.append(f"{spoken} [{said.shown}]" if said.shown else spoken)


PICTURES = "kb2_gauge_practice_pictures"
# What a builder with a camera says at a step before the readings of the script.
WITH_PICTURES = {
    "edges": ["attach a picture", "step done", "attach a picture", "repeat that", "correction",
              "correction", "attach a picture"],
    "pin": ["attach a picture", "take a note", "burr on the pin's edge", "correction",
            "what can i say"],
}  # fmt: skip


def perform_with_pictures(folder: Path) -> list[str]:
    """The gauge practice again, with pictures and a note attached and taken back."""
    script = read_script(SCRIPTS["kb2_gauge_practice"])
    camera = folder / "camera"
    camera.mkdir()
    put(camera, "KB2_0041.jpg", picture(seed=41), START - timedelta(days=3))
    put(camera, "KB2_0042.jpg", picture(seed=42), START)
    pictures = PictureFolder(camera, PictureStore(folder / "kept"), lambda: None)
    edges = Transcript()
    context = demo_context("kb2_gauge_practice")
    session = new_session(MemoryJournal(), edges, context, pictures=pictures)
    who = people(script.builder, script.inspectors)
    session.open(opened(session).model_copy(update={"people": who, "job": script.job}))
    lines = {step: list(said) for step, said in WITH_PICTURES.items()}
    assert session.run(InterposedInput(session, script.answers(), lines=lines)) == "finished"
    return edges.lines


@lru_cache
def perform(name: str) -> tuple[DemoScript, Session, list[str], MemoryJournal, str | None]:
    """Run the stand-in builder through a procedure."""
    script = read_script(SCRIPTS[name])
    edges = Transcript()
    journal = MemoryJournal()
    session = new_session(journal, edges, demo_context(name))
    who = people(script.builder, script.inspectors)
    changes: dict[str, object] = {"people": who, "job": script.job, **AT_THE_BENCH.get(name, {})}
    session.open(opened(session).model_copy(update=changes))
    if script.stop_at:
        stop = {script.stop_at: ["stop work", "that is right"]}
        assert session.run(InterposedInput(session, script.answers(), lines=stop)) == "stopped"
        later = START + timedelta(minutes=10)
        session = new_session(journal, edges, session.context, later)
        session.resume()
    ended = session.run(StandInInput(session, script.answers()))
    return script, session, edges.lines, journal, ended


@pytest.mark.parametrize("name", SCRIPTS)
def test_the_record_is_what_was_spoken(name: str) -> None:
    script, session, _, journal, ended = perform(name)
    assert ended == "finished"
    record = build_record(journal.entries)
    assert differences(script, session.context.procedure, record) == []


@pytest.mark.parametrize("name", SCRIPTS)
def test_the_transcript_is_the_golden_one(name: str) -> None:
    _, _, lines, _, _ = perform(name)
    assert lines == (GOLDEN / f"{name}.txt").read_text(encoding="utf-8").splitlines()


def test_the_transcript_with_pictures_is_the_golden_one(tmp_path: Path) -> None:
    golden = (GOLDEN / f"{PICTURES}.txt").read_text(encoding="utf-8").splitlines()
    assert perform_with_pictures(tmp_path) == golden


def write() -> None:
    """Write the golden transcripts again."""
    with TemporaryDirectory() as folder:
        lines = perform_with_pictures(Path(folder))
    (GOLDEN / f"{PICTURES}.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    for name in SCRIPTS:
        _, _, lines, _, _ = perform(name)
        (GOLDEN / f"{name}.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")


if __name__ == "__main__":
    write()
