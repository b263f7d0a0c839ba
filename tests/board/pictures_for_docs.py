"""The pictures in docs/board.md, of the demo: ``python -m tests.board.pictures_for_docs``.

Needs the Debian package ``chromium``.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image

from assistant.board.serving import serve_board
from assistant.dialogue.context import Context
from assistant.dialogue.effects import Say
from assistant.dialogue.kinds.inspection import Inspecting
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.tightening.states import Tightening
from assistant.dialogue.state import State, Tightened, Value
from assistant.dialogue.states import DialogueState, Doing, OutOfLimit
from assistant.language.hypothesis import Hypothesis, Recognition, Word
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.quantities.amount import parse_amount
from assistant.quantities.limits import judge
from assistant.session.edges import Sound
from tests.board.chromium import Tab, browser
from tests.board.kit import PEOPLE
from tests.board.pictures import LOOKS, SIZES, contact_sheet, photograph
from tests.board.shown import SHOWN
from tests.quantities.kit import exactly
from tests.session.kit import demo_context

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "pictures"


@dataclass(frozen=True)
class Taken:
    """One picture: what was heard in ``before`` (how surely), and what it led to."""

    name: str
    before: State
    state: State
    heard: tuple[str, float]
    said: tuple[Say, ...]
    look: str
    size: tuple[int, int]


def _state(context: Context, step: str, awaiting: DialogueState, **more: object) -> State:
    ids = [s.id for s in context.procedure.steps]
    before = [i for i in ids[: ids.index(step)] if i != "fit_felt_ring"]
    fields: dict[str, object] = {
        "opened": True,
        "job": "KB2-0417",
        "people": PEOPLE,
        "choices": {"seal_kind": "lip_seal"},
        "outcomes": dict.fromkeys(before, "done"),
        "history": (*before, step),
        **more,
    }
    return State(awaiting=awaiting, step=step, **fields)  # type: ignore[arg-type]  # fields of State


def _taken(context: Context) -> list[Taken]:
    float_step = context.procedure.step("end_float")
    assert isinstance(float_step, MeasurementStep)
    found = exactly("4.6 thou")
    out = {"end_float": {"": Value(found, judge(found, float_step.limits, "thou"), "readback")}}
    nine = parse_amount("9 lbf*ft")
    tight = tuple(
        Tightened(p, f"bolt {b}", nine)
        for p, b in [(0, "one"), (0, "three"), (0, "two"), (0, "four"), (1, "one")]
    )
    return [
        Taken(
            "board-tightening",
            _state(context, "cap_torque", Tightening(1, 0), tightened=tight[:-1]),
            _state(context, "cap_torque", Tightening(1, 1), tightened=tight),
            ("fastener done", 0.97),
            (Say("Bolt three.", "plain"),),
            "light",
            (1280, 800),
        ),
        Taken(
            "board-out-of-limits",
            _state(context, "end_float", Measuring(0)),
            _state(context, "end_float", OutOfLimit(0), values=out),
            ("reading four point six thou", 0.94),
            (Say("four point six thou. Out of limits.", "readback"),),
            "dark",
            (1280, 800),
        ),
        Taken(
            "board-hold-point",
            _state(context, "turn_by_hand", Doing()),
            _state(context, "hold_point", Inspecting()),
            ("step done", 0.96),
            (Say("Hold point. Call the inspector.", "caution"),),
            "contrast",
            (1280, 800),
        ),
        Taken(
            "board-phone",
            _state(context, "end_float", Measuring(0)),
            _state(context, "end_float", Measuring(0)),
            ("reading two point six", 0.38),
            (),
            "light",
            (390, 844),
        ),
    ]


def _small(path: Path, wide: int) -> None:
    """Make the picture ``wide`` pixels wide, in few colours."""
    picture = Image.open(path).convert("RGB")
    high = round(picture.height * wide / picture.width)
    picture = picture.resize((wide, high), Image.Resampling.LANCZOS)
    picture.quantize(64, dither=Image.Dither.NONE).save(path, optimize=True)


def _demo(tab: Tab) -> None:
    context = demo_context()
    for one in _taken(context):
        with serve_board(context, "127.0.0.1:0") as board:
            board.screen.state(one.before)
            text, sure = one.heard
            words = tuple(Word(w, sure) for w in text.split())
            board.screen.heard(Sound(Recognition((Hypothesis(words, sure),), "ear")))
            board.screen.state(one.state)
            for said in one.said:
                board.screen.said(said)
            tab.size(*one.size)
            tab.open(f"{board.url}?look={one.look}")
            path = FOLDER / f"{one.name}.png"
            tab.picture(path)
            _small(path, 800 if one.size[0] > 800 else 390)


def main() -> None:
    """Take them all, and the sheet of every state."""
    with TemporaryDirectory() as folder, browser(Path(folder) / "profile") as tab:
        _demo(tab)
        paths = photograph(tab, Path(folder), SIZES[0], LOOKS[0])
        sheet = FOLDER / "board-every-state.png"
        contact_sheet(paths, SHOWN, 5, 0.3).save(sheet)
        _small(sheet, 1600)


if __name__ == "__main__":
    main()
