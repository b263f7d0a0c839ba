"""A job goes on to its right record though the microphone goes, changes, or sound is lost."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.journal.types import Entry
from tests.audio.live import Assistant, entries_of, spoken
from tests.audio.virtual_sound import plug_in, pull_out, virtual_sound

pytestmark = [pytest.mark.audio, pytest.mark.slow, pytest.mark.real_time]

JOB = Path(__file__).with_name("short_job.yaml")
BEGINNING = (
    ("charlie", "Manual revision charlie"),
    ("that is right", "Close the penstock"),
    ("caution understood", "The limit is"),
)
READING = (("reading one point two thou", "In limits"),)
TORQUE = (("go on", "Say torque understood"), ("torque understood", "Bolt one"))
END = (
    ("step done", "Bolt two"),
    ("step done", "Both tightened"),
    ("go on", "Finished"),
)
OTHER = (
    "module-null-sink sink_name=other rate=48000 norewinds=1"
    " sink_properties=device.description=KBOther"
)


class Talk:
    """A builder at the virtual bench, who says line after line."""

    def __init__(
        self, folder: Path, env: dict[str, str], program: str = "tests.audio.counted"
    ) -> None:
        self.folder = folder
        self.env = env
        self.assistant = Assistant(folder, env, str(JOB), program=program)
        self.said = 0

    def lines(self, lines: tuple[tuple[str, str], ...], sink: str = "bench") -> None:
        """Say ``lines`` until each is answered as it should be."""
        for talk in lines:
            self.said += 1
            assert spoken(self.assistant, self.said, talk, sink=sink), self.assistant.seen

    def is_told(self, words: str) -> None:
        assert self.assistant.says(words), self.assistant.seen


def changes(entries: list[Entry]) -> list[dict[str, Any]]:
    return [e.body for e in entries if e.body.get("kind") == "equipment_changed"]


def test_pulled_out_in_the_middle_of_a_job_it_goes_on_to_its_record(tmp_path: Path) -> None:
    """Once with a reading that is not confirmed yet, and once while bolts are tightened."""
    with virtual_sound(tmp_path) as env:
        talk = Talk(tmp_path, env)
        try:
            talk.is_told("Spell its revision")
            talk.lines((*BEGINNING, *READING))
            pull_out(env)
            talk.is_told("is gone; plug it in again")
            plugged = plug_in(env)
            talk.is_told("The microphone is back")
            talk.lines(TORQUE)
            pull_out(env, plugged)
            talk.is_told("is gone; plug it in again")
            plug_in(env)
            talk.is_told("The microphone is back")
            talk.lines(END)
            assert talk.assistant.ended()
        finally:
            talk.assistant.kill()
    found = [
        (c["part"], c["working"], c["what"])
        for c in changes(entries_of(tmp_path))
        if c["what"] != "overrun"
    ]  # fmt: skip - sound that a busy machine loses
    assert found == [("microphone", False, "lost"), ("microphone", True, "back")] * 2


def test_sound_that_was_lost_is_told_and_costs_nothing_but_saying_it_again(tmp_path: Path) -> None:
    """Nobody takes the sound for so long that it overflows, between a reading and its answer."""
    stall = tmp_path / "stall"
    with virtual_sound(tmp_path) as env:
        talk = Talk(tmp_path, env | {"STALL_FILE": str(stall)}, "tests.audio.stalled")
        try:
            talk.is_told("Spell its revision")
            talk.lines((*BEGINNING, *READING))
            stall.touch()
            talk.is_told("Some sound was lost")
            talk.lines((*TORQUE, *END))
            assert talk.assistant.ended()
        finally:
            talk.assistant.kill()
    found = changes(entries_of(tmp_path))
    assert found
    assert {(c["part"], c["working"], c["what"]) for c in found} == {
        ("microphone", True, "overrun")
    }


def test_another_microphone_in_its_place_is_told_and_stored(tmp_path: Path) -> None:
    """The server moves the stream by itself, as desktops have it do."""
    with virtual_sound(tmp_path) as env:
        plug_in(env, OTHER)
        plug_in(env, "module-rescue-streams")
        talk = Talk(tmp_path, env)
        try:
            talk.is_told("Spell its revision")
            talk.lines(BEGINNING)
            pull_out(env)
            talk.is_told("another microphone")
            talk.lines((*READING, *TORQUE, *END), sink="other")
            assert talk.assistant.ended()
        finally:
            talk.assistant.kill()
    (change,) = [c for c in changes(entries_of(tmp_path)) if c["what"] != "overrun"]
    assert (change["part"], change["what"]) == ("microphone", "moved")
    assert "KBOther" in change["detail"]
