"""Records of what the real dialogue core recorded, not of made-up facts."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.dialogue.effects import Record
from assistant.dialogue.events import AnyEvent, Resumed
from assistant.report.model import BuildRecord
from assistant.report.record import build_record
from assistant.report.torque_map import torque_map
from tests.dialogue.kit import PEOPLE, Bench, procedure
from tests.dialogue.test_own_wrench import own
from tests.report.sample import Scribe

FLOAT = {
    "id": "float", "kind": "measurement", "quantity": "end float", "unit": "thou",
    "gauge": "dial", "lower": "1.5 thou", "upper": "3 thou", "plausible_low": "0 thou",
    "plausible_high": "50 thou",
}  # fmt: skip
GAP = {
    "id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "feelers",
    "upper": "4 thou",
}  # fmt: skip


@dataclass
class KeptBench(Bench):
    """A bench whose events and facts go into journal entries as a session stores them."""

    scribe: Scribe = field(default_factory=Scribe)

    def feed(self, event: AnyEvent) -> str:
        """One event, stored with its facts."""
        answer = super().feed(event)
        self.scribe.now = self.now
        facts = [e.fact for e in self.effects if isinstance(e, Record)]
        self.scribe.event(event.model_dump(mode="json"), *facts)
        return answer

    def record(self) -> BuildRecord:
        """The record so far."""
        return build_record(self.scribe.entries)


def statuses(bench: KeptBench) -> list[tuple[str, str]]:
    """Value and status of every reading."""
    return [(str(r.indication), r.status) for r in bench.record().readings]


def test_a_correction_supersedes_and_stays() -> None:
    bench = KeptBench(procedure(FLOAT))
    bench.start()
    bench.type("reading 2.5 thou")
    assert statuses(bench) == [("2.5 thou", "unconfirmed")]
    bench.say("correction")
    assert statuses(bench) == [("2.5 thou", "superseded")]
    bench.type("reading 2.9 thou")
    bench.say("go_on")
    assert statuses(bench) == [("2.5 thou", "superseded"), ("2.9 thou", "counts")]
    record = bench.record()
    assert record.finished_at is not None
    assert record.readings[1].by == "Otto Brandwick"
    assert record.unread == []


def test_blades_make_one_value_and_stay_as_evidence() -> None:
    bench = KeptBench(procedure(GAP))
    bench.start()
    for line in ("blade 2 goes", "blade 4 does not go"):
        bench.type(line)
    bench.say("go_on")
    assert statuses(bench) == [
        (">= 2 thou", "evidence"),
        ("< 4 thou", "evidence"),
        ("2 to under 4 thou", "counts"),
    ]


def test_an_out_of_limit_value_waits_for_another_person() -> None:
    bench = KeptBench(procedure(FLOAT))
    bench.start()
    bench.type("reading 4.1 thou")
    bench.say("disposition_use_as_is")
    bench.type("wear allowance")
    (line,) = bench.record().dispositions
    assert (line.state, line.disposition, line.reason) == ("open", "use_as_is", "wear allowance")
    bench.type("inspector mike quebec")
    bench.say("accept")
    (line,) = bench.record().dispositions
    assert (line.state, line.released_by) == ("released", "Marta Quill")


def test_a_pass_that_went_on_with_another_wrench_keeps_its_count_and_voids_what_was_missed() -> (
    None
):
    bolts = {
        "id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10.5 lbf*ft",
        "fasteners": ["bolt one", "bolt two", "bolt three"], "thread": "dry",
    }  # fmt: skip
    bench = KeptBench(procedure(bolts))
    bench.open(PEOPLE, own())
    bench.type("charlie")
    bench.say("confirm", "understood", "done", "done")
    bench.feed(Resumed(at=bench.at(), bench=own(resolution="0.5 lbf*ft")))
    bench.say("understood", "done", "missed", "missed", "done", "done")
    (line,) = bench.record().tightenings
    first, second = line.passes
    lines = [
        [(t.fastener, t.order, str(t.torque), t.void_why) for t in p.tightened]
        for p in (first, second)
    ]
    assert lines == [
        [("bolt one", 1, "10 lbf*ft", ""), ("bolt two", 2, "10 lbf*ft", "missed")],
        [
            ("bolt three", 3, "10.5 lbf*ft", "missed"),
            ("bolt two", 2, "10.5 lbf*ft", ""),
            ("bolt three", 3, "10.5 lbf*ft", ""),
        ],
    ]
    drawn = torque_map(line, second).label
    assert "In this pass, announced another time: bolt one." in drawn
    assert "Not tightened" not in drawn


def test_a_tightening_left_part_way_says_so_in_the_record() -> None:
    bolts = {
        "id": "bolts", "kind": "tightening", "tool": "wrench", "target": "10 lbf*ft",
        "fasteners": ["bolt one", "bolt two"], "thread": "dry",
    }  # fmt: skip
    bench = KeptBench(procedure(bolts))
    bench.start()
    bench.say("understood", "done", "skip", "skip_tool_missing")
    (step,) = bench.record().steps
    assert (step.outcome, step.reason, step.part_way) == ("skipped", "tool_missing", True)
