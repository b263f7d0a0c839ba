"""What a record says of a build that had everything in it."""

from __future__ import annotations

import pytest

from assistant.dialogue.kinds.measurement.facts import ReadingSuperseded
from assistant.dialogue.kinds.tightening.facts import FastenerReopened, FastenerTightened
from assistant.journal.types import Draft, Entry
from assistant.quantities.amount import parse_amount
from assistant.report.kinds import not_recorded
from assistant.report.lines.reading import ReadingLine
from assistant.report.model import BuildRecord
from assistant.report.record import build_record
from tests.quantities.kit import exactly
from tests.report.sample import FLOAT, OPENED, PROCEDURE, Scribe, offered, sample


@pytest.fixture(scope="module")
def record() -> BuildRecord:
    return build_record(sample())


def of(record: BuildRecord, step: str) -> list[tuple[str, str, str]]:
    """Position, value and status of a step's readings."""
    return [(r.position, str(r.indication), r.status) for r in record.readings if r.step == step]


def test_the_head_names_job_documents_and_people(record: BuildRecord) -> None:
    assert (record.session, record.job, record.procedure_id) == ("kb2-7", "KB2-7", "kb2_sample")
    assert record.governing.revision == "C"
    assert [(p.name, p.role) for p in record.people] == [
        ("Otto Brandwick", "builder"),
        ("Marta Quill", "inspector"),
    ]
    assert [m.matches for m in record.manual] == [True]
    assert record.opened_at == "2026-01-05T08:00:00+00:00"
    assert record.finished_at == record.last_at
    assert record.unread == []
    assert record.clock_set_back_at == []


def test_every_reading_stays_and_only_the_confirmed_ones_count(record: BuildRecord) -> None:
    assert of(record, "float") == [
        ("top", "2.0 thou", "superseded"),
        ("top", "7 thou", "not_taken"),
        ("top", "2.5 thou", "counts"),
        ("bottom", "3.4 thou", "counts"),
    ]
    assert of(record, "gap") == [
        ("", ">= 3 thou", "evidence"),
        ("", "< 4 thou", "evidence"),
        ("", "3 to under 4 thou", "counts"),
    ]
    first, _, second, out = (r for r in record.readings if r.step == "float")
    assert (first.superseded_why, first.clip) == ("correction", "c1")
    assert (second.clip, second.gauge, second.how) == ("c3", "dial", "readback")
    assert second.by == "Otto Brandwick"
    assert out.judgement.verdict == "out"
    assert str(out.judgement.margin) == "-0.4 thou"
    assert str(out.limits) == "1.5 thou to 3 thou"


def test_tools_that_gave_a_value_are_marked(record: BuildRecord) -> None:
    assert {t.id: t.used for t in record.tools} == {"dial": True, "feelers": True, "wrench": True}


def test_tightening_is_kept_by_pass_and_order_with_the_missed_one_void(
    record: BuildRecord,
) -> None:
    (line,) = record.tightenings
    assert (str(line.target), line.thread, line.lubricant) == (
        "14 lbf*ft",
        "lubricated",
        "Light machine oil",
    )
    first, second = line.passes
    assert [(t.order, t.fastener) for t in first.tightened] == [
        (1, "one"), (2, "three"), (3, "two"), (4, "four"),
    ]  # fmt: skip
    assert [(t.order, t.fastener, t.void_why) for t in second.tightened] == [
        (1, "one", ""), (2, "three", ""), (3, "two", "missed"), (3, "two", ""), (4, "four", ""),
    ]  # fmt: skip


def test_steps_have_their_times_and_outcomes(record: BuildRecord) -> None:
    lines = {s.id: s for s in record.steps}
    assert [s.number for s in record.steps] == list(range(1, 11))
    assert (lines["plate"].outcome, lines["plate"].reason) == ("skipped", "no plate")
    assert lines["cure"].seconds == 630
    assert len(lines["seal"].visits) == 2
    assert lines["seal"].seconds == 60


def test_the_rest_of_the_build(record: BuildRecord) -> None:
    assert [(d.state, d.position) for d in record.dispositions] == [("open", "bottom")]
    assert [p.numbers for p in record.parts] == [["serial KB417"], []]
    assert [(c.option, c.superseded_at is None) for c in record.chosen] == [
        ("lip", False),
        ("felt", True),
    ]
    assert [i.accepted for i in record.inspections] == [False, True]
    assert record.waits[0].over_at is not None
    assert record.notes[0].clip == "c7"


@pytest.mark.parametrize("count", range(0, len(sample()), 3))
def test_a_record_can_be_made_at_any_moment(count: int) -> None:
    """Half a build is a record too: nothing counts that was not confirmed by then."""
    entries = sample()[:count]
    record = build_record(entries)
    stored = sum(e.body.get("kind") == "reading_confirmed" for e in entries)
    computed = sum(e.body.get("kind") == "value_derived" for e in entries)
    assert len(record.counting()) == stored + computed
    assert record.entries == count


def test_a_reopened_step_loses_all_that_counted() -> None:
    from assistant.dialogue.facts import StepReopened

    entries = sample()
    scribe = Scribe()
    scribe.entries = entries
    scribe.heard(*(StepReopened(step=step) for step in ("float", "mean", "torque", "serial")))
    record = build_record(scribe.entries)
    gone: list[ReadingLine] = [r for r in record.readings if r.step in ("float", "mean")]
    assert {r.status for r in gone} == {"superseded", "not_taken"}
    assert all(t.void_since for p in record.tightenings[0].passes for t in p.tightened)
    assert record.parts[0].numbers == []
    assert [d.state for d in record.dispositions] == ["withdrawn"]


def test_a_released_disposition_is_closed_by_another_person() -> None:
    from assistant.dialogue.facts import DispositionRecorded

    scribe = Scribe()
    scribe.entries = sample()
    released = DispositionRecorded(
        step="float", position="bottom", disposition="use_as_is", released_by="Marta Quill"
    )
    scribe.heard(released)
    (line,) = build_record(scribe.entries).dispositions
    assert (line.state, line.released_by, line.clip) == ("released", "Marta Quill", "c5")


def test_facts_of_another_version_are_listed_and_not_dropped_in_silence() -> None:
    scribe = Scribe()
    scribe.event(OPENED.model_dump(mode="json"))
    scribe.add(Draft("fact", OPENED.at, {"kind": "smelled", "step": "float"}))
    (unread,) = build_record(scribe.entries).unread
    assert (unread.seq, unread.kind) == (2, "smelled")


def test_a_procedure_that_cannot_be_read_leaves_its_id_and_the_facts() -> None:
    scribe = Scribe()
    scribe.event({**OPENED.model_dump(mode="json"), "procedure": {"steps": "torn"}})
    rest = [e for e in sample() if e.kind == "fact"]
    for entry in rest:
        scribe.add(Draft(entry.kind, entry.at, entry.body))
    record = build_record(scribe.entries)
    assert record.procedure.title == "kb2_sample"
    assert len(record.counting()) == 4
    assert [s.title for s in record.steps][:2] == ["Lock out", "Shaft serial"]


def test_a_clock_that_was_set_back_is_told() -> None:
    scribe = Scribe()
    scribe.event(OPENED.model_dump(mode="json"))
    early = Draft("event", "2026-01-05T07:00:00+00:00", {"kind": "resumed"})
    scribe.add(early)
    scribe.add(Draft("said", "2026-01-05T10:00:00+02:00", {"text": "x", "tone": "plain"}))
    record = build_record(scribe.entries)
    assert record.clock_set_back_at == [2], "08:00 UTC follows 07:00 whatever its offset"
    assert [m.what for m in record.moments] == ["resumed"]


def test_no_entries_make_an_empty_record() -> None:
    nothing: list[Entry] = []
    assert build_record(nothing) == BuildRecord()


def test_two_utterances_of_one_instant_are_two_events() -> None:
    """Typed lines have no sound, and a clock may stand still: the entry alone tells them apart."""
    s = Scribe()
    s.event(OPENED.model_dump(mode="json"))
    first, second = exactly("2.0 thou"), exactly("2.5 thou")
    instant = s.now
    s.heard(offered("float", "top", first, FLOAT))
    s.now = instant
    replaces = ReadingSuperseded(step="float", position="top", why="correction")
    s.heard(offered("float", "top", second, FLOAT), replaces)
    old, new = build_record(s.entries).readings
    assert (old.at, old.clip) == (new.at, new.clip)
    assert (old.status, new.status) == ("superseded", "unconfirmed")
    assert [s.entries[r.entry - 1].kind for r in (old, new)] == ["event", "event"]
    assert old.entry < new.entry


def test_a_fastener_that_does_not_stand_tightened_is_named() -> None:
    step = PROCEDURE.step("torque")
    assert not_recorded(build_record(sample()), step) == []
    s = Scribe()
    s.event(OPENED.model_dump(mode="json"))
    torque = parse_amount("14 lbf*ft")
    for number in (1, 2):
        for label in ("one", "two", "three", "four"):
            s.heard(
                FastenerTightened(step="torque", pass_number=number, fastener=label, torque=torque)
            )
    s.heard(FastenerReopened(step="torque", pass_number=2, fastener="three"))
    assert not_recorded(build_record(s.entries), step) == ["torque: pass 2, three is not recorded."]
