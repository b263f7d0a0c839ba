"""A session: journal first, then effects; resumed it is the same; failing stores hold the job."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.dialogue.events import Revised
from assistant.journal.pictures import PictureStore
from assistant.journal.types import Entry
from assistant.session.picture_folder import PictureFolder
from assistant.session.session import ReplayError, rebuild
from tests.session.kit import (
    INPUT_SHAFT_READINGS,
    SHAFT,
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


def whole() -> tuple[MemoryJournal, Edges]:
    journal, edges = MemoryJournal(), Edges()
    session = new_session(journal, edges)
    session.open(opened(session))
    assert session.run(StandInInput(session, SHAFT)) == "finished"
    return journal, edges


def test_a_whole_procedure_with_every_step_kind_is_recorded() -> None:
    journal, _ = whole()
    got = {
        (str(f["step"]), str(f["position"])): f["indication"]
        for f in journal.facts("reading_confirmed")
    }
    values = {k: v["amount"]["value"] for k, v in got.items()}
    assert values == INPUT_SHAFT_READINGS
    kinds = {s.kind for s in demo_context().procedure.steps}
    assert kinds == {
        "caution", "action", "measurement", "derived", "tightening", "identification",
        "choice", "wait", "inspection",
    }  # fmt: skip
    assert len(journal.facts("fastener_tightened")) == 12
    assert len(journal.facts("work_finished")) == 1


def test_nothing_is_spoken_that_was_not_stored_first() -> None:
    journal, edges = whole()
    assert [e.body["text"] for e in journal.entries if e.kind == "said"] == edges.spoken


@pytest.mark.parametrize("turns", [0, 3, 9, 17, 26, 33, 40, 44])
def test_resumed_at_any_point_it_ends_with_the_same_facts(turns: int) -> None:
    journal, edges = MemoryJournal(), Edges()
    session = new_session(journal, edges)
    session.open(opened(session))
    session.run(StandInInput(session, SHAFT, turns))
    again = new_session(journal, Edges(), start=START + timedelta(days=21))
    assert again.resume()
    assert again.run(StandInInput(again, SHAFT)) == "finished"
    reference, _ = whole()
    for kind in ("reading_confirmed", "fastener_tightened", "identified", "chosen", "inspected"):
        assert journal.facts(kind) == reference.facts(kind), kind


@pytest.mark.parametrize("failing", range(1, 45, 6))
def test_a_failed_write_moves_nothing_and_is_told_at_once(failing: int) -> None:
    journal, edges = MemoryJournal(failing=frozenset({failing})), Edges()
    session = new_session(journal, edges)
    if not session.open(opened(session)):
        session.open(opened(session))
    assert session.run(StandInInput(session, SHAFT)) == "finished"
    assert any("cannot be recorded" in text for text in edges.spoken)
    reference, _ = whole()
    for kind in ("reading_confirmed", "fastener_tightened", "step_done"):
        assert len(journal.facts(kind)) == len(reference.facts(kind)), kind


def test_a_changed_fact_stops_the_resuming() -> None:
    journal, _ = whole()
    index = next(i for i, e in enumerate(journal.entries) if e.kind == "fact"
                 and e.body["kind"] == "identified")  # fmt: skip
    old = journal.entries[index]
    journal.entries[index] = Entry(
        old.kind, old.at, {**old.body, "text": "KB218"}, None, None, old.session, old.seq
    )
    with pytest.raises(ReplayError, match=f"entry {old.seq}"):
        rebuild(demo_context(), journal, "s1")


def without(journal: MemoryJournal, *gone: int) -> MemoryJournal:
    """The journal with the entries at these places taken out and the rest moved up."""
    left = [e for i, e in enumerate(journal.entries) if i not in gone]
    return MemoryJournal([replace(e, seq=seq) for seq, e in enumerate(left, 1)])


def test_a_missing_fact_stops_the_resuming() -> None:
    """Whichever fact it is: before another fact, before the next event, or at the very end."""
    journal, _ = whole()
    facts = [i for i, e in enumerate(journal.entries) if e.kind == "fact"]
    last_of_event = [
        i for i in facts
        if all(e.kind == "said" for e in journal.entries[i + 1 : i + 2])
    ]  # fmt: skip
    for index in (facts[0], last_of_event[0], last_of_event[len(last_of_event) // 2], facts[-1]):
        with pytest.raises(ReplayError):
            rebuild(demo_context(), without(journal, index), "s1")
    assert rebuild(demo_context(), without(journal), "s1")[1] == len(journal.entries)


def test_an_extra_fact_stops_the_resuming() -> None:
    journal, _ = whole()
    index = next(i for i, e in enumerate(journal.entries) if e.kind == "fact")
    twice = [*journal.entries[: index + 1], *journal.entries[index:]]
    again = MemoryJournal([replace(e, seq=seq) for seq, e in enumerate(twice, 1)])
    with pytest.raises(ReplayError):
        rebuild(demo_context(), again, "s1")


def test_an_event_that_cannot_be_read_stops_the_resuming_in_one_sentence() -> None:
    journal, _ = whole()
    index = [i for i, e in enumerate(journal.entries) if e.kind == "event"][3]
    journal.entries[index] = replace(journal.entries[index], body={"kind": "from_the_future"})
    with pytest.raises(ReplayError, match=f"entry {index + 1}"):
        rebuild(demo_context(), journal, "s1")


def test_a_picture_asked_for_by_voice_is_stored_recorded_and_replayed(tmp_path: Path) -> None:
    folder = tmp_path / "camera"
    folder.mkdir()
    put(folder, "IMG_0001.jpg", picture(), START)
    journal, edges = MemoryJournal(), Edges()
    store = PictureStore(tmp_path / "kept")
    pictures = PictureFolder(folder, store, lambda: None)
    session = new_session(journal, edges, pictures=pictures)
    session.open(opened(session))
    lines = {"lock_out": ["attach a picture", "attach a picture"]}
    assert session.run(InterposedInput(session, SHAFT, lines=lines)) == "finished"
    (fact,) = journal.facts("picture_attached")
    assert (fact["step"], fact["name"]) == ("lock_out", "IMG_0001.jpg")
    assert store.look(str(fact["file"]), "jpeg") == "intact"
    assert any("no picture newer" in text for text in edges.spoken)
    state, _ = rebuild(demo_context(), journal, "s1")
    assert state == session.state


def test_without_a_folder_that_is_said_and_the_work_goes_on() -> None:
    journal, edges = MemoryJournal(), Edges()
    session = new_session(journal, edges)
    session.open(opened(session))
    lines = {"lock_out": ["attach a picture"]}
    assert session.run(InterposedInput(session, SHAFT, lines=lines)) == "finished"
    assert journal.facts("picture_attached") == []
    assert any("No picture folder" in text for text in edges.spoken)


def test_an_outage_is_told_once_for_a_timer_and_its_end_is_told_and_recorded() -> None:
    reference, _ = whole()
    kinds = [e.body.get("kind") for e in reference.entries if e.kind == "event"]
    at = kinds.index("timer_elapsed") + 1
    journal, edges = MemoryJournal(failing=frozenset(range(at, at + 6))), Edges()
    session = new_session(journal, edges)
    session.open(opened(session))
    assert session.run(StandInInput(session, SHAFT)) == "finished"
    assert sum("cannot be recorded" in text for text in edges.spoken) == 1
    assert sum("Recording works again" in text for text in edges.spoken) == 1
    stored = [e.body for e in journal.entries if e.body.get("kind") == "equipment_changed"]
    assert [(b["part"], b["working"]) for b in stored] == [("store", True)]


def test_a_revised_procedure_is_acknowledged_before_the_resumed_work_goes_on() -> None:
    journal = MemoryJournal()
    session = new_session(journal, Edges())
    session.open(opened(session))
    session.run(StandInInput(session, SHAFT, 17))
    edges = Edges()
    again = new_session(journal, edges, start=START + timedelta(days=21))
    done = next(iter(again.context.procedure.steps))
    again.resume(revised=Revised(revision="B", sha256="1" * 64, changed=(done.id,)))
    assert again.run(StandInInput(again, SHAFT)) == "finished"
    assert any(f"One step done already has changed: {done.title}" in text for text in edges.spoken)
    assert [f["done"] for f in journal.facts("revision_noticed")] == [[done.id]]
    assert rebuild(demo_context(), journal, "s1")[0] == again.state


def test_a_fact_stored_before_it_had_a_field_still_replays() -> None:
    journal, _ = whole()
    for index, old in enumerate(journal.entries):
        if old.body.get("kind") == "fastener_tightened":
            body = {k: v for k, v in old.body.items() if k != "at_fastener"}
            journal.entries[index] = Entry(old.kind, old.at, body, None, None, old.session, old.seq)
    assert rebuild(demo_context(), journal, "s1")[1] == len(journal.entries)
