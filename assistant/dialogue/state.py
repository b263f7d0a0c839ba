"""The state of a session: a value, rebuilt exactly by replaying the session's events.

``State.awaiting`` says what is awaited: one of ``states``, or of the states of a step kind.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from assistant.dialogue.effects import Say
from assistant.dialogue.events import LocalTime, Person
from assistant.dialogue.states import DialogueState, Manual
from assistant.dialogue.talk import Talk
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import Judgement
from assistant.quantities.shims import ShimStack
from assistant.quantities.tools import Bench, BenchTool


@dataclass(frozen=True)
class LetStand:
    """Why a value out of limits stands: its disposition, and the reason, typed or recorded."""

    disposition: str
    reason: str
    clip: str | None
    seconds: int | None = None  # how long the sound of the reason is


@dataclass(frozen=True)
class KeptNote:
    """The note that was taken last, until the builder goes on: "correction" takes it back."""

    step: str | None
    clip: str | None


@dataclass(frozen=True)
class KeptPicture:
    """The picture that was attached last, until the builder goes on."""

    step: str | None
    file: str


@dataclass(frozen=True)
class Value:
    """The present value of one position; it counts from the moment the builder goes on.

    ``tool`` is the bench's own that it was read with (empty: the one called for), ``uncertainty``
    the expanded one (k = 2) of its readings, ``graduation`` its resolution.
    """

    indication: Indication
    judgement: Judgement
    how: Literal["readback", "digits"]
    tool: str = ""
    tool_name: str = ""
    uncertainty: Amount | None = None
    graduation: Amount | None = None
    read_at: str = ""  # of a log: when it was read, ISO 8601
    due: str = ""  # when it was to be read
    late_s: int = 0  # by how much it is late; 0 where that is allowed
    behind_ms: int = 0  # how long after it was due it was read


@dataclass(frozen=True)
class LogRun:
    """A log that was begun. ``due`` has the instant (ISO 8601) of each row that is due so far.

    ``due_ms`` are the same by the steady clock of the machine's run ``boot``, None where that is
    not known. ``row`` is the one being read, or read last; ``counted`` are the places that count.
    ``untimed`` are rows of which nobody knows how long they came after the row before.
    """

    started: str
    due: tuple[str, ...]
    due_ms: tuple[int | None, ...]
    boot: str
    row: int = 0
    counted: tuple[str, ...] = ()
    missed: tuple[int, ...] = ()
    untimed: tuple[int, ...] = ()


@dataclass(frozen=True)
class WrenchSetting:
    """What was announced last for the open step: the pass, the wrench and what to set on it.

    The builder has acknowledged it once a fastener is being tightened.
    """

    pass_index: int
    tool: str  # empty in a pass that only turns
    torque: Amount | None
    length: Amount | None = None  # how far from the square it is held, where that counts


@dataclass(frozen=True)
class Tightened:
    """A fastener of the open step that stands tightened in a pass, as the wrench was set then."""

    pass_index: int
    fastener: str
    torque: Amount | None  # None in a pass that only turns
    at_fastener: Amount | None = None  # where adapter or drag make it another
    moved: bool = False  # in a check


@dataclass(frozen=True)
class State:
    """Everything the dialogue knows. Mappings are replaced, never changed in place."""

    awaiting: DialogueState = field(default_factory=Manual)
    opened: bool = False
    job: str = ""
    people: tuple[Person, ...] = ()
    bench: Bench | None = None
    habit: Literal["inch", "metric"] | None = None
    variant: str | None = None
    parts: str | None = None
    step: str | None = None
    history: tuple[str, ...] = ()  # steps opened, in order, the present one last
    outcomes: Mapping[str, str] = field(default_factory=dict)  # step -> done|skipped|...
    values: Mapping[str, Mapping[str, Value]] = field(default_factory=dict)  # step -> position ->
    released: Mapping[str, tuple[str, ...]] = field(default_factory=dict)  # step -> positions
    held: Mapping[str, Mapping[str, Value]] = field(default_factory=dict)
    """Values out of limits that hold their step (see ``holding``): step -> position -> value."""
    referred: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Those of the released that were referred to the maker: they stand, but are not accepted."""
    let_stand: Mapping[str, Mapping[str, LetStand]] = field(default_factory=dict)
    """Why the released values stand: step -> position -> ; others in it were released once."""
    derived: Mapping[str, Amount] = field(default_factory=dict)
    derived_at: Mapping[str, Mapping[str, Amount]] = field(default_factory=dict)
    """Values computed for each place: step -> place -> value."""
    logged: Mapping[str, Mapping[str, Amount]] = field(default_factory=dict)
    """What a log that is over came to: step -> ``front bearing.last`` -> value."""
    adjusted: Mapping[str, int] = field(default_factory=dict)  # step -> times, till it is done
    fitted: Mapping[str, tuple[Amount, ...]] = field(default_factory=dict)  # step -> its shims
    in_hand: Mapping[str, str] = field(default_factory=dict)  # gauge -> the bench's tool for it
    looked_at: Mapping[str, BenchTool] = field(default_factory=dict)
    """Gauge -> the bench's tool for it, as it was when it was looked at last."""
    told_shims: Mapping[str, ShimStack] = field(default_factory=dict)  # step -> what is to go in
    choices: Mapping[str, str] = field(default_factory=dict)
    waits: Mapping[str, str] = field(default_factory=dict)  # running: step -> until (ISO 8601)
    wait_ends: Mapping[str, int] = field(default_factory=dict)  # step -> ms of the steady clock
    logs: Mapping[str, LogRun] = field(default_factory=dict)  # step -> how far its log is
    boot: str = ""  # the machine's run that the steady clock counts in
    announced: WrenchSetting | None = None
    tightened: tuple[Tightened, ...] = ()  # of the open step, pass by pass in order
    turned: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Fasteners said to be turned by angle: step -> labels. Going back does not turn them back."""
    turned_in: Mapping[str, tuple[tuple[int, str], ...]] = field(default_factory=dict)
    """The same by pass, and those loosened by an angle: step -> (index of the pass, label)."""
    part_way: frozenset[str] = frozenset()  # tightenings skipped after they were begun
    listening: bool = True
    phrases_asked: bool = False  # about phrases that sound like others; older sessions did not
    local: LocalTime | None = None  # the clock on the wall
    edition: int = 0  # of the dialogue's rules, see ``edition``
    stopped: bool = False
    broken: frozenset[str] = frozenset()  # equipment not working
    talk: Talk | None = None  # how much is said aloud; older sessions had no choice
    asked: Mapping[str, int] = field(default_factory=dict)  # prompt -> how often said aloud
    helped: int = 0  # how many things that may be said were named last
    last_said: tuple[str, ...] = ()
    last_lines: tuple[Say, ...] = ()  # the same, each as it was meant and with its sound
    unsaid: tuple[Say, ...] = ()  # cut short: must be said before the work moves on
    kept: KeptNote | KeptPicture | None = None  # what "correction" takes back before a reading
    pictures: Mapping[str, str] = field(default_factory=dict)  # SHA-256 -> taken, in order
    pictured: Mapping[str, str] = field(default_factory=dict)  # SHA-256 -> the step it belongs to
    identified: Mapping[str, str] = field(default_factory=dict)  # step -> the number that counts
    revision_noticed: str = ""  # SHA-256 of the revised file that was acknowledged
    rate_steps: int = 0  # of the voice, from its own: up is faster
    volume_steps: int = 0  # up is louder

    @property
    def dispositions(self) -> int:
        """How many values stand by a released disposition; one taken back stands no longer."""
        return sum(len(positions) for positions in self.released.values())

    @property
    def builder(self) -> str:
        """The builder's name."""
        return next((p.name for p in self.people if p.role == "builder"), "")
