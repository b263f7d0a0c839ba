"""A made-up build of the Kettlebeck KB-2 as journal entries, with everything a record can hold."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any

from assistant.dialogue.events import Opened, Person
from assistant.dialogue.facts import (
    Acknowledged,
    ConditionChosen,
    DispositionRecorded,
    ManualChecked,
    NoteTaken,
    StepDone,
    StepOpened,
    StepReopened,
    WaitOver,
    WaitStarted,
    WorkFinished,
)
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.kinds.choice import Chosen
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.identification import Identified
from assistant.dialogue.kinds.inspection import Inspected
from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.dialogue.kinds.tightening.facts import (
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
)
from assistant.journal.chain import GENESIS, link
from assistant.journal.types import Draft, Entry
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount, Indication, parse_amount
from assistant.quantities.limits import Judgement, Limits, judge
from tests.quantities.kit import exactly

PEOPLE = (
    Person(name="Otto Brandwick", initials="OB", role="builder"),
    Person(name="Marta Quill", initials="MQ", role="inspector"),
)

PROCEDURE = Procedure.model_validate(
    {
        "id": "kb2_sample",
        "title": "Kettlebeck KB-2 bearing cap <sample>",
        "revision": "B",
        "governing": {
            "title": "Kettlebeck KB-2 Workshop Manual (invented)",
            "revision": "C",
            "date": "2025-11-03",
        },
        "gauges": [
            {"id": "dial", "kind": "dial_indicator", "name": "Dial indicator", "unit": "thou",
             "resolution": "0.1 thou", "uncertainty": "0.2 thou"},
            {"id": "feelers", "kind": "feeler", "name": "Feeler set", "unit": "thou",
             "resolution": "0.5 thou"},
            {"id": "wrench", "kind": "torque_wrench", "name": "Click wrench", "unit": "lbf*ft",
             "resolution": "0.5 lbf*ft"},
        ],
        "consumables": [{"id": "oil", "name": "Light machine oil"}],
        "parts": [
            {"id": "shaft", "name": "Input shaft", "marked": True},
            {"id": "bolts", "name": "Cap bolt", "quantity": 4},
        ],
        "steps": [
            {"id": "lock", "kind": "caution", "title": "Lock out", "say": "Lock the valve."},
            {"id": "serial", "kind": "identification", "title": "Shaft serial", "say": "Spell it.",
             "part": "shaft", "what": "serial"},
            {"id": "float", "kind": "measurement", "title": "End float", "say": "Measure.",
             "quantity": "end float", "unit": "thou", "gauge": "dial",
             "positions": ["top", "bottom"], "lower": "1.5 thou", "upper": "3 thou"},
            {"id": "gap", "kind": "measurement", "title": "Gap", "say": "Measure.",
             "quantity": "gap", "unit": "thou", "gauge": "feelers", "upper": "5 thou"},
            {"id": "mean", "kind": "derived", "title": "Mean float", "say": "Computed.",
             "quantity": "mean float", "unit": "thou", "formula": "f", "inputs": {"f": "float"},
             "upper": "3 thou"},
            {"id": "torque", "kind": "tightening", "title": "Cap bolts", "say": "Tighten.",
             "tool": "wrench", "target": "14 lbf*ft", "tolerance": "1 lbf*ft",
             "fasteners": ["one", "two", "three", "four"], "pattern": "cross",
             "passes": ["0.5", "1"], "thread": "lubricated", "lubricant": "oil"},
            {"id": "cure", "kind": "wait", "title": "Cure", "say": "Wait.", "duration": "10 min"},
            {"id": "seal", "kind": "choice", "title": "Seal", "say": "Which?",
             "options": [{"id": "lip", "say": "lip"}, {"id": "felt", "say": "felt"}]},
            {"id": "look", "kind": "inspection", "title": "Hold", "say": "Look.",
             "criteria": "No burr."},
            {"id": "plate", "kind": "action", "title": "Name plate", "say": "Fit it."},
        ],
    }
)  # fmt: skip

OPENED = Opened(
    at="2026-01-05T08:00:00+00:00",
    job="KB2-7",
    procedure_id=PROCEDURE.id,
    procedure_revision=PROCEDURE.revision,
    procedure_sha256="ab" * 32,
    procedure=PROCEDURE.model_dump(mode="json"),
    people=PEOPLE,
)


class Scribe:
    """Writes entries as a session would: an event, then its facts, in a chain."""

    def __init__(self, session: str = "kb2-7", start: datetime | None = None) -> None:
        self.session = session
        self.now = start or datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
        self.entries: list[Entry] = []

    def add(self, draft: Draft) -> None:
        """Append one entry."""
        prev = self.entries[-1].hash if self.entries else GENESIS
        self.entries.append(link(self.session, len(self.entries) + 1, prev, draft)[0])

    def event(self, body: dict[str, Any], *facts: AnyFact, clip: str | None = None) -> None:
        """An event 30 seconds on, and what follows from it."""
        at = self.now.isoformat()
        self.add(Draft("event", at, {**body, "at": at}, clip, "test" if clip else None))
        for fact in facts:
            self.add(Draft("fact", at, fact.model_dump(mode="json")))
        self.now += timedelta(seconds=30)

    def heard(self, *facts: AnyFact, clip: str | None = None) -> None:
        """An utterance and what follows from it."""
        self.event({"kind": "heard", "clip": clip}, *facts, clip=clip)


FLOAT = Limits(parse_amount("1.5 thou"), parse_amount("3 thou"))
GAP = Limits(None, parse_amount("5 thou"))


def _judged(indication: Indication, limits: Limits) -> Judgement:
    return judge(indication, limits, "thou")


def offered(
    step: str, position: str, indication: Indication, limits: Limits, asked: bool = False
) -> ReadingOffered:
    """A reading that was heard."""
    return ReadingOffered(
        step=step,
        position=position,
        indication=indication,
        heard=f"{indication} heard",
        judgement=_judged(indication, limits),
        digits_asked=asked,
    )


def confirmed(
    step: str, position: str, indication: Indication, limits: Limits, gauge: str
) -> ReadingConfirmed:
    """A reading that counts."""
    return ReadingConfirmed(
        step=step,
        position=position,
        quantity={"float": "end float", "gap": "gap"}[step],
        indication=indication,
        limits=limits,
        judgement=_judged(indication, limits),
        gauge=gauge,
        how="readback",
    )


def sample() -> list[Entry]:
    """The whole build: corrections, blades, a disposition still open, a missed bolt, a wait."""
    s = Scribe()
    s.event(OPENED.model_dump(mode="json"))
    s.heard(ManualChecked(spoken="C", expected="C", matches=True))
    s.heard(ConditionChosen(what="parts", value="new"), StepOpened(step="lock", title="Lock out"))
    s.heard(
        Acknowledged(step="lock", what="Lock the valve."),
        StepDone(step="lock", how="done"),
        StepOpened(step="serial", title="Shaft serial"),
    )
    s.heard(
        Identified(step="serial", part="shaft", what="serial", text="KB417"),
        StepDone(step="serial", how="done"),
        StepOpened(step="float", title="End float"),
        clip="c0",
    )
    _measure(s)
    _tighten(s)
    _end(s)
    return s.entries


def _measure(s: Scribe) -> None:
    first, second, third = exactly("2.0 thou"), exactly("2.5 thou"), exactly("3.4 thou")
    s.heard(offered("float", "top", first, FLOAT), clip="c1")
    s.heard(ReadingSuperseded(step="float", position="top", why="correction"))
    s.heard(offered("float", "top", exactly("7 thou"), FLOAT, asked=True), clip="c2")
    s.heard(offered("float", "top", second, FLOAT), clip="c3")
    s.heard(offered("float", "bottom", third, FLOAT), clip="c4")
    out: dict[str, Any] = {"step": "float", "position": "bottom", "disposition": "use_as_is"}
    s.heard(DispositionRecorded(**out, reason="", clip="c5"), clip="c5")
    s.heard(
        confirmed("float", "top", second, FLOAT, "dial"),
        confirmed("float", "bottom", third, FLOAT, "dial"),
        StepDone(step="float", how="done"),
        StepOpened(step="gap", title="Gap"),
    )
    goes = Indication("ge", parse_amount("3 thou"))
    stops = Indication("lt", parse_amount("4 thou"))
    both = Indication("between", parse_amount("3 thou"), parse_amount("4 thou"))
    s.heard(offered("gap", "", goes, GAP))
    s.heard(offered("gap", "", stops, GAP), clip="c6")
    mean = Amount(Fraction(59, 20), "thou")
    s.heard(
        confirmed("gap", "", both, GAP, "feelers"),
        StepDone(step="gap", how="done"),
        StepOpened(step="mean", title="Mean float"),
        ValueDerived(
            step="mean",
            quantity="mean float",
            value=mean,
            limits=Limits(None, parse_amount("3 thou")),
            judgement=judge(Indication("eq", mean), Limits(None, parse_amount("3 thou")), "thou"),
            formula="f",
        ),
    )
    s.heard(StepDone(step="mean", how="done"), StepOpened(step="torque", title="Cap bolts"))


def _tighten(s: Scribe) -> None:
    for number, torque in ((1, parse_amount("7.0 lbf*ft")), (2, parse_amount("14.0 lbf*ft"))):
        s.heard(
            TorqueAnnounced(
                step="torque",
                pass_number=number,
                torque=torque,
                target=parse_amount("14 lbf*ft"),
                thread="lubricated",
            )
        )

        def done(label: str, number: int = number, torque: Amount = torque) -> FastenerTightened:
            return FastenerTightened(
                step="torque", pass_number=number, fastener=label, torque=torque
            )

        for label in ("one", "three", "two"):
            s.heard(done(label))
        if number == 2:
            s.heard(FastenerReopened(step="torque", pass_number=2, fastener="two"))
            s.heard(done("two"))
        s.heard(done("four"))


def _end(s: Scribe) -> None:
    s.heard(
        StepDone(step="torque", how="done"),
        StepOpened(step="cure", title="Cure"),
        WaitStarted(
            step="cure",
            started=s.now.isoformat(),
            until=(s.now + timedelta(minutes=10)).isoformat(),
        ),
    )
    s.now += timedelta(minutes=10)
    s.event(
        {"kind": "timer_elapsed", "step": "cure"},
        WaitOver(step="cure"),
        StepDone(step="cure", how="done"),
        StepOpened(step="seal", title="Seal"),
    )
    s.heard(Chosen(step="seal", option="lip"), StepDone(step="seal", how="done"))
    s.heard(StepReopened(step="seal"), StepOpened(step="seal", title="Seal"))
    s.heard(
        Chosen(step="seal", option="felt"),
        StepDone(step="seal", how="done"),
        StepOpened(step="look", title="Hold"),
    )
    s.heard(Inspected(step="look", person="Marta Quill", accepted=False))
    s.heard(
        Inspected(step="look", person="Marta Quill", accepted=True),
        StepDone(step="look", how="done"),
        StepOpened(step="plate", title="Name plate"),
    )
    s.heard(NoteTaken(step="plate", text="=plate & rivets missing", clip="c7"), clip="c7")
    s.heard(
        StepDone(step="plate", how="skipped", reason="no plate"),
        WorkFinished(skipped=("plate",), open_dispositions=1),
    )
