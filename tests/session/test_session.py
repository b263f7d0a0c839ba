"""A session: journal first, then effects; resumed it is the same; failing stores hold the job."""

from __future__ import annotations

from datetime import timedelta

import pytest

from assistant.journal.types import Entry
from assistant.session.session import ReplayError, rebuild
from tests.session.kit import (
    SHAFT,
    START,
    Edges,
    MemoryJournal,
    StandInEar,
    demo_context,
    new_session,
    opened,
)


def whole() -> tuple[MemoryJournal, Edges]:
    journal, edges = MemoryJournal(), Edges()
    session = new_session(journal, edges)
    session.open(opened(session))
    assert session.run(StandInEar(session, SHAFT)) == "finished"
    return journal, edges


def test_a_whole_procedure_with_every_step_kind_is_recorded() -> None:
    journal, _ = whole()
    got = {
        (str(f["step"]), str(f["position"])): f["indication"]
        for f in journal.facts("reading_confirmed")
    }
    values = {k: v["amount"]["value"] for k, v in got.items()}  # type: ignore[index]
    assert values == {
        ("seal_runout", ""): "6/5",
        ("cap_gap", "top"): "11",
        ("cap_gap", "right"): "23/2",
        ("cap_gap", "bottom"): "12",
        ("cap_gap", "left"): "23/2",
        ("shim_thickness", ""): "14",
        ("end_float", ""): "13/5",
    }
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


@pytest.mark.parametrize("turns", [0, 3, 9, 17, 26, 40, 55, 63])
def test_resumed_at_any_point_it_ends_with_the_same_facts(turns: int) -> None:
    journal, edges = MemoryJournal(), Edges()
    session = new_session(journal, edges)
    session.open(opened(session))
    session.run(StandInEar(session, SHAFT, turns))
    again = new_session(journal, Edges(), start=START + timedelta(days=21))
    assert again.resume()
    assert again.run(StandInEar(again, SHAFT)) == "finished"
    reference, _ = whole()
    for kind in ("reading_confirmed", "fastener_tightened", "identified", "chosen", "inspected"):
        assert journal.facts(kind) == reference.facts(kind), kind


@pytest.mark.parametrize("failing", range(1, 60, 7))
def test_a_failed_write_moves_nothing_and_is_told_at_once(failing: int) -> None:
    journal, edges = MemoryJournal(failing=frozenset({failing})), Edges()
    session = new_session(journal, edges)
    if not session.open(opened(session)):
        session.open(opened(session))
    assert session.run(StandInEar(session, SHAFT)) == "finished"
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
