"""A made-up build of the Kettlebeck KB-2 output hub where much was not as it should be.

- one value out of limits and released, one too close to call that nobody has released
- one far outside that was measured again
- a skipped step, a wrench out of date, shims
- a joint tightened by torque and angle with an adapter
- notes, a picture, corrections, work stopped and resumed
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from assistant.dialogue.events import Opened
from assistant.dialogue.facts import (
    Acknowledged,
    DispositionDropped,
    DispositionRecorded,
    ManualChecked,
    NoteTaken,
    PictureAttached,
    StepDone,
    StepOpened,
    ToolChecked,
    WorkFinished,
    WorkStopped,
)
from assistant.dialogue.kinds.identification import Identified
from assistant.dialogue.kinds.inspection import Inspected
from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.kinds.tightening.facts import (
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
)
from assistant.journal.types import Draft, Entry
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount, Indication, parse_amount
from assistant.quantities.limits import Limits, judge
from tests.quantities.kit import exactly
from tests.report.sample import PEOPLE, Scribe

PROCEDURE = Procedure.model_validate(
    {
        "id": "kb2_output_hub",
        "title": "Kettlebeck KB-2 output hub and carrier (fictional demo)",
        "revision": "D",
        "governing": {
            "title": "Kettlebeck KB-2 Workshop Manual (invented)",
            "revision": "C",
            "date": "2025-11-03",
        },
        "applicability": {"variants": ["standard"]},
        "gauges": [
            {"id": "dial", "kind": "dial_indicator", "name": "Dial indicator", "unit": "thou",
             "resolution": "0.1 thou", "uncertainty": "0.2 thou"},
            {"id": "micrometer", "kind": "micrometer", "name": "Micrometer, 25 to 50 mm",
             "unit": "mm", "resolution": "0.01 mm", "uncertainty": "0.004 mm"},
            {"id": "shim_set", "kind": "shim_set", "name": "Shims", "unit": "thou",
             "resolution": "1 thou", "members": ["5 thou", "5 thou", "10 thou"]},
            {"id": "wrench", "kind": "torque_wrench", "name": "Click wrench, 5 to 25 lbf*ft",
             "unit": "lbf*ft", "resolution": "0.5 lbf*ft"},
        ],
        "consumables": [{"id": "oil", "name": "Light machine oil"},
                        {"id": "lock", "name": "Thread locker, medium"}],
        "parts": [
            {"id": "hub", "name": "Output hub", "marked": True},
            {"id": "carrier", "name": "Carrier plate"},
            {"id": "bolts", "name": "Hub bolt", "quantity": 6},
        ],
        "steps": [
            {"id": "lock_out", "kind": "caution", "title": "Lock out the penstock",
             "say": "Close and lock the penstock valve."},
            {"id": "serial", "kind": "identification", "title": "Hub serial", "say": "Spell it.",
             "part": "hub", "what": "serial", "reference": "5.1"},
            {"id": "journal", "kind": "measurement", "title": "Hub journal diameter",
             "say": "Measure.", "quantity": "journal diameter", "unit": "mm",
             "gauge": "micrometer", "positions": ["front", "middle", "back"],
             "lower": "34.98 mm", "upper": "35.00 mm", "reference": "5.2"},
            {"id": "runout", "kind": "measurement", "title": "Hub runout", "say": "Measure.",
             "quantity": "runout", "unit": "thou", "gauge": "dial", "upper": "2 thou",
             "rule": "guarded", "reference": "5.3"},
            {"id": "gap", "kind": "measurement", "title": "Gap behind the carrier",
             "say": "Measure.", "quantity": "gap", "unit": "thou", "gauge": "dial"},
            {"id": "shims", "kind": "shims", "title": "Shims behind the carrier",
             "say": "Choose.", "quantity": "float left", "unit": "thou", "gap": "gap",
             "stock": "shim_set", "lower": "1 thou", "upper": "4 thou", "reference": "5.5"},
            {"id": "hub_bolts", "kind": "tightening", "title": "Hub bolts", "say": "Tighten.",
             "tool": "wrench", "target": "12.5 lbf*ft", "tolerance": "1 lbf*ft", "angle": "60 deg",
             "fasteners": ["bolt one", "bolt two", "bolt three", "bolt four", "bolt five",
                           "bolt six"],
             "pattern": "star", "passes": ["0.5", "1"], "thread": "lubricated",
             "lubricant": "oil", "reference": "5.6",
             "adapter": {"length": "10 in", "extension": "1.5 in", "angle": "0 deg"}},
            {"id": "plate", "kind": "action", "title": "Name plate", "say": "Fit it.",
             "materials": ["lock"]},
            {"id": "look", "kind": "inspection", "title": "Inspector looks at the hub",
             "say": "Look.", "criteria": "Six bolts marked with paint, hub turns freely."},
        ],
    }
)  # fmt: skip

OPENED = Opened(
    at="2026-01-05T08:00:00+00:00",
    job="KB2-31",
    procedure_id=PROCEDURE.id,
    procedure_revision=PROCEDURE.revision,
    procedure_sha256="cd" * 32,
    procedure=PROCEDURE.model_dump(mode="json"),
    people=PEOPLE,
)
_JOURNAL = Limits(parse_amount("34.98 mm"), parse_amount("35.00 mm"))
_RUNOUT = Limits(None, parse_amount("2 thou"))
_SPREAD = parse_amount("0.2 thou")


def _read(
    s: Scribe, step: str, position: str, value: Indication, clip: str | None
) -> ReadingConfirmed:
    limits = {"journal": _JOURNAL, "runout": _RUNOUT}.get(step, Limits())
    unit = value.amount.unit
    guarded = step == "runout"
    judged = judge(value, limits, unit, _SPREAD, "guarded" if guarded else "simple")
    offer = ReadingOffered(
        step=step, position=position, indication=value, heard=f"reading {value}",
        judgement=judged, digits_asked=not judged.passes,
    )  # fmt: skip
    if clip:
        s.heard(offer, clip=clip)
    else:
        at = s.now.isoformat()
        s.add(Draft("event", at, {"kind": "heard", "at": at}, None, "keyboard"))
        s.add(Draft("fact", at, offer.model_dump(mode="json")))
        s.now += timedelta(seconds=30)
    names = {"journal": "journal diameter", "runout": "runout", "gap": "gap"}
    gauge = "micrometer" if step == "journal" else "dial"
    return ReadingConfirmed(
        step=step, position=position, quantity=names[step], indication=value, limits=limits,
        judgement=judged, gauge=gauge, how="digits" if not judged.passes else "readback",
        tool_name="" if step == "journal" else "Dial No. 4",
        uncertainty=parse_amount("0.004 mm") if step == "journal" else _SPREAD,
    )  # fmt: skip


def deviating(
    session: str = "kb2-31", job: str = "KB2-31", hub: str = "H2207", front: str = "34.99 mm"
) -> list[Entry]:
    """The whole build; ``front`` is what the journal measured there."""
    s = Scribe(session)
    s.event({**OPENED.model_dump(mode="json"), "job": job})
    s.heard(ManualChecked(spoken="C", expected="C", matches=True))
    s.heard(StepOpened(step="lock_out", title="Lock out the penstock"))
    s.heard(
        Acknowledged(step="lock_out", what="Close and lock the penstock valve. Hang your tag."),
        StepDone(step="lock_out", how="done"),
        StepOpened(step="serial", title="Hub serial"),
    )
    s.heard(
        Identified(step="serial", part="hub", what="serial", text=hub),
        StepDone(step="serial", how="done"),
        StepOpened(step="journal", title="Hub journal diameter"),
        clip="e1" * 32,
    )
    _measure(s, front)
    _shim(s)
    _tighten(s)
    _end(s)
    return s.entries


def _measure(s: Scribe, first: str) -> None:
    front = _read(s, "journal", "front", exactly(first), "a1" * 32)
    wrong = _read(s, "journal", "middle", exactly("35.90 mm"), "a2" * 32)
    s.heard(ReadingSuperseded(step="journal", position="middle", why="correction"))
    middle = _read(s, "journal", "middle", exactly("34.97 mm"), "a3" * 32)
    assert not wrong.judgement.passes
    decision: dict[str, Any] = {"step": "journal", "position": "middle", "disposition": "use_as_is"}
    s.heard(
        DispositionRecorded(**decision, reason="within wear allowance of sheet 12", clip="b1" * 32),
        clip="b1" * 32,
    )
    s.heard(DispositionRecorded(**decision, released_by="Marta Quill"))
    back = _read(s, "journal", "back", exactly("34.98 mm"), None)
    s.heard(
        front, middle, back,
        StepDone(step="journal", how="done"),
        ToolChecked(step="runout", tool="dial", name="Dial No. 4", calibration_due="2026-06-30"),
        StepOpened(step="runout", title="Hub runout"),
    )  # fmt: skip
    far = _read(s, "runout", "", exactly("19.5 thou"), "a4" * 32)
    s.heard(far)
    s.heard(ReadingSuperseded(step="runout", position="", why="remeasure"))
    close = _read(s, "runout", "", exactly("1.9 thou"), "a5" * 32)
    asked: dict[str, Any] = {"step": "runout", "position": "", "disposition": "refer"}
    s.heard(DispositionRecorded(**asked, reason="gauge no finer at hand", clip="b2" * 32))
    s.heard(DispositionDropped(**asked, how="refused", person="Marta Quill"))
    s.heard(DispositionRecorded(**{**asked, "disposition": "use_as_is"}, reason="turns freely"))
    s.heard(
        close,
        StepDone(step="runout", how="done"),
        StepOpened(step="gap", title="Gap behind the carrier"),
    )
    s.heard(WorkStopped(step="gap"))
    s.now += timedelta(hours=17)
    s.event({"kind": "resumed"})


def _shim(s: Scribe) -> None:
    gap = _read(s, "gap", "", exactly("12.5 thou"), "a6" * 32)
    five = parse_amount("5 thou")
    s.heard(
        gap,
        StepDone(step="gap", how="done"),
        StepOpened(step="shims", title="Shims behind the carrier"),
        ShimsChosen(
            step="shims", quantity="float left", gap=parse_amount("12.5 thou"), shims=(five, five),
            total=parse_amount("10 thou"), result=parse_amount("2.5 thou"),
            limits=Limits(parse_amount("1 thou"), parse_amount("4 thou")),
        ),
    )  # fmt: skip
    s.heard(
        NoteTaken(step="shims", text="Third shim has a bent edge, put aside", clip="c1" * 32,
                  seconds=4.2),
        PictureAttached(step="shims", name="KB2_0042.jpg", file="d" * 64, media="jpeg", size=90210,
                        taken="2026-01-06T01:20:00+00:00"),
        clip="c1" * 32,
    )  # fmt: skip
    s.heard(
        StepDone(step="shims", how="done"),
        ToolChecked(
            step="hub_bolts", tool="wrench", name="Wrench TW-3", calibration_due="2025-12-31",
            findings=("Its calibration ran out on 31 December 2025.",),
        ),
        StepOpened(step="hub_bolts", title="Hub bolts"),
    )  # fmt: skip


def _tighten(s: Scribe) -> None:
    order = ("bolt one", "bolt four", "bolt two", "bolt five", "bolt three", "bolt six")
    passes = ((1, "5.5 lbf*ft", "6.33 lbf*ft"), (2, "11 lbf*ft", "12.65 lbf*ft"))
    for number, setting, got in passes:
        torque, reached = parse_amount(setting), parse_amount(got)
        s.heard(
            TorqueAnnounced(
                step="hub_bolts", pass_number=number, torque=torque,
                target=parse_amount("12.5 lbf*ft"), at_fastener=reached, thread="lubricated",
            ),
            Acknowledged(step="hub_bolts", what=f"Pass {number}: set {setting} on the wrench."),
        )  # fmt: skip
        for label in order:
            s.heard(_done(number, label, torque, reached))
            if (number, label) == (1, "bolt five"):
                s.heard(FastenerReopened(step="hub_bolts", pass_number=1, fastener=label))
                s.heard(_done(number, label, torque, reached))


def _done(number: int, label: str, torque: Amount, got: Amount) -> FastenerTightened:
    return FastenerTightened(
        step="hub_bolts", pass_number=number, fastener=label, torque=torque, at_fastener=got
    )


def _end(s: Scribe) -> None:
    s.heard(StepDone(step="hub_bolts", how="done"), StepOpened(step="plate", title="Name plate"))
    s.heard(
        StepDone(step="plate", how="skipped", reason="part_missing"),
        StepOpened(step="look", title="Inspector looks at the hub"),
    )
    s.heard(Inspected(step="look", person="Marta Quill", accepted=True))
    s.heard(
        StepDone(step="look", how="done"),
        WorkFinished(skipped=("plate",), open_dispositions=1),
    )
