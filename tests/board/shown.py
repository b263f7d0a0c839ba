"""What is photographed and looked at: every state of every step kind, with what was said there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from assistant.board.screen import BoardScreen
from assistant.dialogue.context import Context
from assistant.dialogue.effects import Say
from assistant.dialogue.kinds.choice import Choosing
from assistant.dialogue.kinds.identification import Spelled
from assistant.dialogue.kinds.inspection import Inspecting
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.tightening.states import Tightening
from assistant.dialogue.state import State, Tightened
from assistant.dialogue.states import Acknowledge, DialogueState, Doing, Ended, OutOfLimit, Release
from assistant.language.hypothesis import Hypothesis, Recognition, Word, typed
from assistant.procedure.models import Procedure
from assistant.quantities.amount import parse_amount
from assistant.session.edges import Sound
from tests.board.kit import CONTEXT, PROCEDURE, at, plain, reading
from tests.board.test_view import EVERY_STATE, FLOAT_OUT, UNTIL

ROWS = {"gap": {"top": reading("gap", "11 thou"), "right": reading("gap", "31 thou")}}
TIGHT = (Tightened(0, "one", parse_amount("6 lbf*ft")),)
DONE = dict.fromkeys((s.id for s in PROCEDURE.steps), "done")
HOSTILE = "<b onclick=alert(1)>Otto</b> \x1b[31m\u202edoogla\u2066 & " + "x" * 300


@dataclass(frozen=True)
class Shown:
    """One state under a short name; ``heard`` at ``sure`` (None: typed) in that very state."""

    name: str
    state: State
    heard: str = "step done"
    sure: float | None = None
    said: str = "This is what the assistant said last, a sentence or two."
    context: Context = CONTEXT

    def put_on(self, screen: BoardScreen) -> None:
        """Show it as the session would."""
        screen.state(self.state)
        recognition = typed(self.heard)
        if self.sure is not None:
            words = tuple(Word(w, self.sure) for w in self.heard.split())
            recognition = Recognition(engine="ear", hypotheses=(Hypothesis(words, self.sure),))
        screen.heard(Sound(recognition))
        screen.said(Say(self.said, "readback"))
        screen.said(Say("Say what comes next.", "ask"))


def _every_state() -> Iterator[Shown]:
    for step, awaiting, more in EVERY_STATE:
        state = at(step, awaiting, **more)
        yield Shown(f"{step or 'between'} {type(awaiting).__name__}", state)


def _harmful() -> Context:
    """A procedure of the same shape whose every text was written to do harm."""
    raw = PROCEDURE.model_dump(mode="json")
    raw["title"] = HOSTILE
    for step in raw["steps"]:
        step["title"] = step["say"] = HOSTILE
        for key in ("quantity", "criteria", "orientation", "expect"):
            if step.get(key):
                step[key] = HOSTILE
        for key in ("fasteners", "positions"):
            if step.get(key):
                step[key] = [f"{name} {HOSTILE}" for name in step[key]]
    return plain(Procedure.model_validate(raw))


def _hostile() -> Iterator[Shown]:
    context = _harmful()
    states: list[tuple[str, DialogueState]] = [
        ("lock", Acknowledge(0)),
        ("oil", Doing()),
        ("gap", Measuring(1)),
        ("bolts", Tightening(0, 0)),
        ("seal", Choosing()),
        ("hold", Inspecting()),
    ]
    for step, awaiting in states:
        state = at(step, awaiting, job=HOSTILE)
        yield Shown(f"hostile {step}", state, HOSTILE, 0.9, HOSTILE, context)


NOT_CLEAN = at(
    None,
    Ended(),
    outcomes={**DONE, "oil": "skipped", "bolts": "skipped"},
    part_way=frozenset({"bolts"}),
    released={"float": ("",), "gap": ("top",)},
    referred={"gap": ("top",)},
)

SHOWN = [
    *_every_state(),
    Shown("rows and wait", at("gap", OutOfLimit(1), values=ROWS, waits={"cool": UNTIL})),
    Shown("first fastener", at("bolts", Tightening(0, 0))),
    Shown("last fastener", at("bolts", Tightening(1, 3), tightened=TIGHT)),
    Shown("paused", at("oil", Doing(), listening=False)),
    Shown("paused, out", at("float", OutOfLimit(0), values=FLOAT_OUT, listening=False)),
    Shown("no microphone", at("float", Measuring(0), broken=frozenset({"microphone"}))),
    Shown("stopped", at("oil", Doing(), stopped=True)),
    Shown("finished", at(None, Ended(), outcomes=DONE)),
    Shown("finished, not clean", NOT_CLEAN),
    Shown("not taken: unsure", at("float", Measuring(0)), "step done", 0.35),
    Shown("not taken: unknown", at("float", Measuring(0)), "mumble", 0.9),
    Shown("heard", at("float", Measuring(0)), "repeat", 0.93),
    Shown("hostile reason", at("float", Release(0, "rework", HOSTILE, None), values=FLOAT_OUT)),
    Shown("hostile number", at("serial", Spelled(HOSTILE))),
    *_hostile(),
]
