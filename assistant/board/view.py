"""What the board shows, as plain data: the page draws it and decides nothing."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from assistant.dialogue.effects import Say
from assistant.dialogue.facts import Fact
from assistant.dialogue.state import State
from assistant.language.hypothesis import Recognition

Alarm = Literal["", "caution", "doubt", "out", "hold", "paused", "finished", "stopped"]
"""What the band across the board says; empty in plain work."""


@dataclass(frozen=True)
class LastHeard:
    """The words last heard; ``sure`` in percent, None where the keyboard typed them.

    ``refused`` says why they were not taken; empty where they were.
    """

    text: str
    sure: int | None = None
    refused: str = ""


@dataclass(frozen=True)
class HeardLine:
    """What was heard last, and the state in which it was said."""

    recognition: Recognition
    state: State


@dataclass(frozen=True)
class SayablePhrase:
    """Something that may be said: the very words, or a description of them."""

    text: str
    verbatim: bool = True


@dataclass(frozen=True)
class Snapshot:
    """What the session told the board last: immutable values only, so that threads may share it.

    ``said`` holds the sentences of the latest turn, ``facts`` the latest recorded ones.
    """

    state: State = field(default_factory=State)
    heard: HeardLine | None = None
    said: tuple[Say, ...] = ()
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True)
class StepHead:
    """Step ``number`` of ``total``; ``kind`` in words."""

    number: int
    total: int
    title: str
    kind: str


@dataclass(frozen=True)
class Line:
    """A line of small print under a short label, such as ``Orientation``."""

    label: str
    text: str


@dataclass(frozen=True)
class Figure:
    """The one figure to be read from afar.

    ``text`` is empty while a value is awaited; ``unit`` is the unit it is asked for in.
    """

    label: str
    text: str = ""
    unit: str = ""
    awaited: bool = False


@dataclass(frozen=True)
class Limit:
    """One limit of what is asked: ``label`` is ``min`` or ``max``."""

    label: str
    text: str
    unit: str


@dataclass(frozen=True)
class BoardRow:
    """A reading of the open step. ``mark`` is the verdict, ``verdict`` the same in words."""

    position: str
    text: str
    mark: Literal["", "in", "out", "undecided", "released", "no_limit"]
    verdict: str
    current: bool


@dataclass(frozen=True)
class Fastener:
    """A fastener on the map: its own short number or letter, its label, and where it is drawn.

    ``own`` is empty where the labels have no short forms that tell them apart. ``x`` and ``y`` lie
    between 0 and 100; ``passes_done`` counts the passes it has had. An arrow leads from the one
    that is ``due`` to the ``next``.
    """

    own: str
    label: str
    x: float
    y: float
    passes_done: int
    due: bool
    next: bool


@dataclass(frozen=True)
class FastenerMap:
    """All fasteners of a tightening step, and the pass that is under way."""

    fasteners: tuple[Fastener, ...]
    passes: int
    pass_number: int
    caption: str  # which pass; empty with a single one


@dataclass(frozen=True)
class Wait:
    """A running wait; ``until`` is the instant it ends, as the record has it (ISO 8601)."""

    title: str
    until: str


@dataclass(frozen=True)
class SpokenSentence:
    """One sentence of the assistant with its tone."""

    text: str
    tone: str


@dataclass(frozen=True)
class Scene:
    """What one moment puts in the middle: task, band, small print and figure."""

    task: str
    alarm: Alarm = ""
    band: str = ""
    lines: tuple[Line, ...] = ()
    figure: Figure | None = None


@dataclass(frozen=True)
class BoardView:
    """Everything on the board at one instant; two equal views look the same."""

    procedure: str
    job: str
    step: StepHead | None
    alarm: Alarm
    band: str  # the alarm in words; empty without one
    task: str  # what to do now, in a few words
    lines: tuple[Line, ...]
    figure: Figure | None
    limits: tuple[Limit, ...]
    rows: tuple[BoardRow, ...]
    fasteners: FastenerMap | None
    say: tuple[SayablePhrase, ...]  # what fits now
    heard: LastHeard | None
    said: tuple[SpokenSentence, ...]
    recorded: str
    following: tuple[str, ...]  # titles of the steps to come
    waits: tuple[Wait, ...]
    notices: tuple[str, ...]  # not listening, equipment that does not work
    left_open: str  # skipped steps and dispositions so far
    demo: str  # the warning of a demonstration; empty in real work
