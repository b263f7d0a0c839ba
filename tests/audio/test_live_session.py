"""A session at the virtual bench: the console command listens to a microphone in real time."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.cli.workplace import latest_session, open_store
from assistant.dialogue.expectation import listening
from assistant.journal.types import Entry
from assistant.language.hypothesis import typed
from assistant.session.edges import Sound
from tests.audio.live import SPEAKERS, Assistant, speech, spoken
from tests.audio.virtual_sound import plug_in, pull_out, virtual_sound
from tests.session.kit import Edges, MemoryJournal, new_session, opened

pytestmark = [pytest.mark.audio, pytest.mark.slow, pytest.mark.real_time]

# What the builder says, and a part of the answer that shows that it was heard rightly.
TALK = (
    ("charlie", "Which is it"),
    ("repeat that", "Which is it"),
    ("standard", "Which parts"),
    ("reused parts", "Manual charlie, standard, reused parts"),
    ("that is right", "Caution. Shut, lock and tag the penstock"),
    ("caution understood", "Spell the shaft's"),
    ("repeat that", "Spell the shaft's"),
    ("kilo bravo two one seven", "Kilo bravo two one seven"),
    ("that is right", "Kind of seal"),
    ("stop work", "Stop work here?"),
    ("that is right", "Work is stopped and saved"),
)

SAID_ONCE = tuple(talk for talk in TALK if talk[0] != "repeat that")


def test_a_session_spoken_into_a_microphone(tmp_path: Path) -> None:
    with virtual_sound(tmp_path) as env:
        assistant = Assistant(tmp_path, env)
        try:
            assert assistant.says("Spell its revision"), assistant.seen
            for number, talk in enumerate(SAID_ONCE):
                assert spoken(assistant, number, talk), assistant.seen
            assert assistant.ended()
        finally:
            assistant.kill()
    facts = [e.body for e in stored(tmp_path) if e.kind == "fact"]
    assert [f["text"] for f in facts if f["kind"] == "identified"] == ["KB217"]
    assert [f["kind"] for f in facts][-1] == "work_stopped"


def typed_facts() -> list[dict[str, object]]:
    """What the same talk gives when it is typed."""
    journal, edges = MemoryJournal(), Edges()
    session = new_session(journal, edges)
    session.open(opened(session))
    for line, _ in TALK:
        session.take(Sound(typed(line)), listening(session.context, session.state))
    return [e.body for e in journal.entries if e.kind == "fact"]


def test_a_microphone_pulled_out_ten_times_loses_nothing(tmp_path: Path) -> None:
    with virtual_sound(tmp_path) as env:
        assistant = Assistant(tmp_path, env)
        plugged: str | None = None
        try:
            assert assistant.says("Spell its revision"), assistant.seen
            for number, talk in enumerate(TALK):
                assert spoken(assistant, number, talk), assistant.seen
                if number == len(TALK) - 1:
                    break
                pull_out(env, plugged)
                assert assistant.says("is gone; plug it in again"), assistant.seen
                plugged = plug_in(env)
                assert assistant.says("The microphone is back"), assistant.seen
            assert assistant.ended()
        finally:
            assistant.kill()
    entries = stored(tmp_path)
    changes = [
        e.body
        for e in entries
        if e.body.get("kind") == "equipment_changed" and e.body["what"] != "overrun"
    ]  # fmt: skip - sound that a busy machine loses
    assert [(c["part"], c["working"]) for c in changes] == [
        ("microphone", False), ("microphone", True)
    ] * (len(TALK) - 1)  # fmt: skip
    facts = [e.body for e in entries if e.kind == "fact"]
    assert facts == typed_facts()


def stored(folder: Path) -> list[Entry]:
    """All of the record so far, which must be whole."""
    kept = open_store(str(folder / "records.db"))
    session = latest_session(kept)
    assert kept.journal.verify(session) is None
    return list(kept.journal.read(session))


def test_a_builder_cuts_in_and_what_was_cut_is_owed(tmp_path: Path) -> None:
    """The loudspeaker is heard by the microphone all the while, as in a room.

    How far the assistant has come in its lines when it hears the builder is the machine's affair,
    so any line may be cut; where it had come to its end, it is made to speak again.
    """
    words = ("stop work", "that is wrong")
    for speaker in SPEAKERS:
        for line in words:
            speech(line, speaker)  # made beforehand
    answers = ("Stop work here?", "Spell its revision")
    with virtual_sound(tmp_path, apart=True) as env:
        plug_in(env, "module-loopback source=horn.monitor sink=bench latency_msec=40")
        assistant = Assistant(tmp_path, env, "kb2_input_shaft", "auto", "--interruptible")
        try:
            assert assistant.says("Notice"), assistant.seen
            for turn in range(24):
                asked = (words[turn % 2], answers[turn % 2])
                assert spoken(assistant, turn, asked, cuts_in=True), assistant.seen
                if any(e.body.get("kind") == "speech_cut" for e in stored(tmp_path)):
                    break
        finally:
            assistant.kill()
    entries = stored(tmp_path)
    events = [e.body for e in entries if e.kind == "event"]
    kinds = [e["kind"] for e in events]
    cut = kinds.index("speech_cut")
    unsaid = [line["text"] for line in events[cut]["unsaid"]]
    assert unsaid
    assert set(unsaid) <= {e.body["text"] for e in entries if e.kind == "said"}
    assert kinds[cut + 1] == "heard"
    # Either line may be the one that cut in.
    heard = events[cut + 1]["recognition"]["hypotheses"][0]["words"]
    assert heard[0]["text"] in {line.split()[0] for line in words}
