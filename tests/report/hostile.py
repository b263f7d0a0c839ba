"""A build whose every text was written by somebody with bad intent."""

from __future__ import annotations

from assistant.dialogue.events import Person
from assistant.dialogue.facts import DispositionRecorded, NoteTaken, StepDone, StepOpened
from assistant.dialogue.kinds.identification import Identified
from assistant.dialogue.kinds.inspection import Inspected
from assistant.journal.types import Entry
from tests.quantities.kit import exactly
from tests.report.sample import FLOAT, OPENED, Scribe, confirmed, offered

MARKUP = '#panic() $x^2$ *bold* <script>alert(1)</script> @preview/evil [link](x) "&amp; {{ 7*7 }}'
TURNED = "right\u202eto left\u2066 \x1b[31m bell\x07 \ue000 \ufeff"
LONG = "N" * 300


def hostile() -> list[Entry]:
    """Job, names, notes, reasons, serial numbers and places."""
    s = Scribe("kb2-hostile")
    people = (
        Person(name=f"{MARKUP[:60]}", initials="XX", role="builder"),
        Person(name=LONG, initials="LL", role="inspector"),
    )
    opening = OPENED.model_dump(mode="json")
    opening["people"] = [p.model_dump(mode="json") for p in people]
    s.event({**opening, "job": f"{LONG} {TURNED}"})
    s.heard(Identified(step="serial", part="shaft", what="serial", text=MARKUP))
    s.heard(StepOpened(step="float", title="End float"))
    value = exactly("9 thou")
    s.heard(offered("float", MARKUP, value, FLOAT), clip="c0" * 32)
    s.heard(confirmed("float", MARKUP, value, FLOAT, "dial"))
    s.heard(
        DispositionRecorded(
            step="float", position=MARKUP, disposition="use_as_is", reason=TURNED,
            clip=None, released_by=None,
        )
    )  # fmt: skip
    s.heard(NoteTaken(step="float", text=f"{MARKUP} {TURNED} {LONG}", clip=None))
    s.heard(Inspected(step="look", person=LONG, accepted=False))
    s.heard(StepDone(step="float", how="skipped", reason=MARKUP))
    return s.entries
