"""A procedure with a step of every kind, and ways to put the board before it."""

from __future__ import annotations

from typing import cast

from assistant.board.build import build_view
from assistant.board.view import BoardView, HeardLine, Snapshot
from assistant.board.words import load_words
from assistant.dialogue.context import Context
from assistant.dialogue.effects import Say
from assistant.dialogue.events import Person
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.state import State, Value
from assistant.dialogue.states import DialogueState
from assistant.language import Language
from assistant.language.spec import Command, ListenSpec, Meaning
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.models import Procedure
from assistant.procedure.step import LimitedStep
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import judge
from assistant.quantities.problem import Told
from tests.quantities.kit import exactly

PEOPLE = (
    Person(name="Otto Brandwick", initials="OB", role="builder"),
    Person(name="Marta Quill", initials="MQ", role="inspector"),
)
WORDS = load_words("en-US")


class PlainTongue:
    """A language in which a command is said as it is written; the board needs no more of one."""

    def interpret(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Anything is a command, but for a mumble."""
        return () if text == "mumble" else (Command(text),)

    def two_numbers(self, text: str) -> bool:
        return False

    def twins(self, one: str, other: str) -> bool:
        return False

    def confusable_meanings(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        return ()

    def prompt(self, key: str, **params: object) -> str:
        return " ".join([key, *(str(v) for v in params.values())])

    def told(self, problem: Told) -> str:
        return str(problem)

    def command_help(self, command: str) -> str:
        return command

    def phrase_for(self, command: str, place: str = "") -> str:
        return command.replace("_", " ")

    def say_amount(self, amount: Amount, digits: bool = False) -> str:
        return str(amount)

    def say_indication(self, indication: Indication) -> str:
        return str(indication)

    def say_digits(self, number: str) -> str:
        return number

    def say_spelling(self, text: str) -> str:
        return text


STEPS: list[dict[str, object]] = [
    {"id": "lock", "kind": "caution", "title": "Lock out the wheel",
     "say": "Close the penstock valve and lock it.", "cautions": ["Try the shaft by hand."]},
    {"id": "oil", "kind": "action", "title": "Oil the bearing", "say": "Oil both rows.",
     "orientation": "Large end up.", "materials": ["gear_oil"], "expect": "It turns freely."},
    {"id": "float", "kind": "measurement", "title": "End float", "say": "Push and pull the shaft.",
     "quantity": "end float", "unit": "thou", "gauge": "dial", "lower": "1.5 thou",
     "upper": "4 thou"},
    {"id": "gap", "kind": "measurement", "title": "Cap gap", "say": "Use the feelers.",
     "quantity": "cap gap", "unit": "thou", "gauge": "feelers", "upper": "30 thou",
     "positions": ["top", "right", "bottom", "left"]},
    {"id": "square", "kind": "derived", "title": "Cap square", "say": "Largest less smallest.",
     "quantity": "gap difference", "unit": "thou", "formula": "g", "inputs": {"g": "gap"},
     "combine": "range", "upper": "2 thou"},
    {"id": "bolts", "kind": "tightening", "title": "Cap bolts", "say": "Crosswise.",
     "tool": "wrench", "target": "12 lbf*ft", "fasteners": ["one", "two", "three", "four"],
     "pattern": "cross", "passes": ["0.5", "1"], "thread": "lubricated", "lubricant": "gear_oil",
     "angle": "30 deg"},
    {"id": "serial", "kind": "identification", "title": "Shaft number", "say": "Read the number.",
     "part": "shaft", "what": "serial"},
    {"id": "seal", "kind": "choice", "title": "Kind of seal", "say": "Which seal?",
     "options": [{"id": "lip", "say": "lip seal"}, {"id": "felt", "say": "felt ring"}]},
    {"id": "cool", "kind": "wait", "title": "Let it cool", "say": "Do not quench it.",
     "duration": "10 min"},
    {"id": "hold", "kind": "inspection", "title": "Hold point", "say": "Call the inspector.",
     "criteria": "Bolts marked."},
    {"id": "pack", "kind": "shims", "title": "Shim pack", "say": "Make up the pack.",
     "quantity": "float left", "unit": "thou", "gap": "float", "stock": "shims",
     "lower": "0 thou", "upper": "1 thou"},
    {"id": "rework", "kind": "action", "title": "Tag for rework", "say": "Tag it.",
     "when": {"reading": {"float": "out"}}},
    {"id": "cover", "kind": "action", "title": "Cover the shaft end", "say": "Cover it."},
    {"id": "run_in", "kind": "log", "title": "Run in", "say": "Read the bearing.",
     "every": "10 min", "for": "30 min", "stop": "Press the stop button.",
     "readings": [{"quantity": "bearing", "unit": "degC", "gauge": "thermo",
                   "upper": "70 degC"}]},
    {"id": "hoses", "kind": "action", "title": "Hoses on", "say": "Push the hoses on.",
     "each": ["front hose", "rear hose"], "within": "90 s", "picture": "Both hoses on"},
]  # fmt: skip

PROCEDURE = Procedure.model_validate(
    {
        "id": "kb2_board",
        "title": "Kettlebeck KB-2 board rig",
        "revision": "A",
        "governing": {
            "title": "Kettlebeck KB-2 Workshop Manual (invented)",
            "revision": "C",
            "date": "2025-01-01",
        },
        "applicability": {"variants": ["standard", "long_shaft"]},
        "gauges": [
            {"id": "dial", "kind": "dial_indicator", "name": "dial indicator", "unit": "thou",
             "resolution": "0.1 thou"},
            {"id": "feelers", "kind": "feeler", "name": "feeler set", "unit": "thou",
             "resolution": "0.5 thou", "members": ["4 thou", "5 thou"]},
            {"id": "shims", "kind": "shim_set", "name": "shim set", "unit": "thou",
             "resolution": "0.5 thou", "members": ["0.5 thou", "1 thou", "1 thou"]},
            {"id": "wrench", "kind": "torque_wrench", "name": "small wrench", "unit": "lbf*ft",
             "resolution": "0.5 lbf*ft"},
            {"id": "thermo", "kind": "thermometer", "name": "thermometer", "unit": "degC",
             "resolution": "0.1 degC"},
        ],
        "consumables": [{"id": "gear_oil", "name": "clean gear oil"}],
        "parts": [{"id": "shaft", "name": "input shaft", "marked": True}],
        "steps": STEPS,
    }
)  # fmt: skip


def plain(procedure: Procedure) -> Context:
    """``procedure`` in as much of a language as the board asks of one."""
    return Context(procedure, cast(Language, PlainTongue()))


CONTEXT = plain(PROCEDURE)


def at(step: str | None, moment: DialogueState, **more: object) -> State:
    """The state of a session in ``moment`` of ``step``, every earlier step done."""
    ids = [s.id for s in PROCEDURE.steps]
    done = ids[: ids.index(step)] if step is not None else []
    fields: dict[str, object] = {
        "opened": True,
        "job": "KB2-7",
        "people": PEOPLE,
        "outcomes": dict.fromkeys(done, "done"),
        "history": (*done, step) if step is not None else (),
        **more,
    }
    return State(awaiting=moment, step=step, **fields)  # type: ignore[arg-type]  # fields of State


def reading(step_id: str, text: str, indication: Indication | None = None) -> Value:
    """A reading of ``step_id`` with its verdict."""
    step = PROCEDURE.step(step_id)
    assert isinstance(step, LimitedStep)
    shown = indication or exactly(text)
    assert isinstance(step, MeasurementStep)
    return Value(shown, judge(shown, step.limits, step.unit), "readback")


def board(
    state: State,
    heard: HeardLine | None = None,
    said: tuple[Say, ...] = (),
    facts: tuple[AnyFact, ...] = (),
    demo: bool = False,
) -> BoardView:
    """The view of ``state``."""
    return build_view(CONTEXT, Snapshot(state, heard, said, facts), WORDS, demo)
