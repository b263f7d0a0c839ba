"""The state of a session: a value, rebuilt exactly by replaying the session's events.

``DialogueState`` says what within the present step is awaited; the interrupting states (skip,
note, stop, help to resume) remember the state they return to.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from assistant.dialogue.effects import Say
from assistant.dialogue.events import Person, Revised
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.limits import Judgement
from assistant.quantities.tools import Bench


@dataclass(frozen=True)
class Manual:
    """The revision of the manual on the bench is awaited."""


@dataclass(frozen=True)
class ManualReadback:
    """A revision was spoken and read back."""

    spoken: str


@dataclass(frozen=True)
class Conditions:
    """Variant or parts condition is awaited."""

    what: Literal["variant", "parts"]


@dataclass(frozen=True)
class ConditionReadback:
    """A variant or parts condition was spoken and read back."""

    what: Literal["variant", "parts"]
    value: str


@dataclass(frozen=True)
class Acknowledge:
    """Caution number ``index`` of the step was spoken; acknowledgement is awaited."""

    index: int


@dataclass(frozen=True)
class Doing:
    """An action is being done; its completion is awaited."""


@dataclass(frozen=True)
class Measuring:
    """A reading at position ``index`` is awaited; ``evidence`` so far (blades tried)."""

    index: int
    evidence: tuple[Indication, ...] = ()


@dataclass(frozen=True)
class DigitCheck:
    """A reading was heard, in doubt, and must be confirmed digit by digit."""

    index: int
    indication: Indication
    heard: str
    why: str
    evidence: tuple[Indication, ...] = ()


@dataclass(frozen=True)
class OutOfLimit:
    """The value at position ``index`` did not pass: remeasure, or a disposition."""

    index: int


@dataclass(frozen=True)
class DispositionReason:
    """A disposition was named; its reason, spoken freely, is awaited."""

    index: int
    disposition: str


@dataclass(frozen=True)
class Release:
    """The job holds until an inspector releases the disposition."""

    index: int
    disposition: str
    reason: str
    clip: str | None
    person: str | None = None
    seconds: int | None = None  # how long the sound of the reason is


@dataclass(frozen=True)
class Review:
    """All of the step is done; the builder may still correct, then goes on.

    Of a tightening: ``torque`` was set on the wrench for the last pass, and gave ``at_fastener``
    where that is not the same. Another bench may have another wrench by now.
    """

    torque: Amount | None = None
    at_fastener: Amount | None = None


@dataclass(frozen=True)
class Loosening:
    """The step begins again, but fasteners were turned by angle before; they are to be loosened."""


@dataclass(frozen=True)
class TorqueAcknowledge:
    """The torque of pass ``pass_index`` was announced; acknowledgement is awaited.

    The pass goes on at fastener ``turn`` of its order; those before it stand tightened.
    """

    pass_index: int
    turn: int = 0


@dataclass(frozen=True)
class Tightening:
    """Fastener ``turn`` in the order of pass ``pass_index`` is being tightened."""

    pass_index: int
    turn: int


@dataclass(frozen=True)
class Spelled:
    """A number off a part is awaited, or read back when ``text`` is set."""

    text: str = ""


@dataclass(frozen=True)
class Choosing:
    """An option is awaited, or read back when ``option`` is set."""

    option: str = ""


@dataclass(frozen=True)
class WaitOffered:
    """A wait was explained; the builder says when it starts."""


@dataclass(frozen=True)
class Waiting:
    """Nothing else may go on until a wait is over."""


@dataclass(frozen=True)
class Inspecting:
    """A second person is awaited at a hold point; ``person`` once they are named."""

    person: str | None = None


@dataclass(frozen=True)
class Blocked:
    """The step cannot be done as things stand: go back, or skip it with a reason."""


@dataclass(frozen=True)
class Skipping:
    """The reason for skipping the step is awaited."""

    back: DialogueState


@dataclass(frozen=True)
class GoingBack:
    """Going back to step ``to`` would void recorded work; a confirmation is awaited."""

    to: str
    back: DialogueState


@dataclass(frozen=True)
class Noting:
    """The next utterance is kept as a note."""

    back: DialogueState


@dataclass(frozen=True)
class ClockAsked:
    """The wall clock says something hard to believe of a wait; a confirmation is awaited.

    ``revised`` is what is to be acknowledged next, if anything.
    """

    revised: Revised | None
    back: DialogueState


@dataclass(frozen=True)
class RevisionHeard:
    """The procedure was revised meanwhile, and that was said; acknowledgement is awaited."""

    revised: Revised
    back: DialogueState


@dataclass(frozen=True)
class Stopping:
    """Stopping work was asked for; a confirmation is awaited."""

    back: DialogueState


@dataclass(frozen=True)
class Ended:
    """Work is finished; nothing is awaited."""


DialogueState = (
    Manual
    | ManualReadback
    | Conditions
    | ConditionReadback
    | Acknowledge
    | Doing
    | Measuring
    | DigitCheck
    | OutOfLimit
    | DispositionReason
    | Release
    | Review
    | Loosening
    | TorqueAcknowledge
    | Tightening
    | Spelled
    | Choosing
    | WaitOffered
    | Waiting
    | Inspecting
    | Blocked
    | Skipping
    | GoingBack
    | Noting
    | ClockAsked
    | RevisionHeard
    | Stopping
    | Ended
)


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


@dataclass(frozen=True)
class WrenchSetting:
    """What was announced last for the open step: the pass, the wrench and what to set on it.

    The builder has acknowledged it once a fastener is being tightened.
    """

    pass_index: int
    tool: str
    torque: Amount


@dataclass(frozen=True)
class Tightened:
    """A fastener of the open step that stands tightened in a pass, as the wrench was set then."""

    pass_index: int
    fastener: str
    torque: Amount
    at_fastener: Amount | None = None  # where adapter or drag make it another


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
    derived: Mapping[str, Amount] = field(default_factory=dict)
    fitted: Mapping[str, tuple[Amount, ...]] = field(default_factory=dict)  # step -> its shims
    in_hand: Mapping[str, str] = field(default_factory=dict)  # gauge -> the bench's tool for it
    choices: Mapping[str, str] = field(default_factory=dict)
    waits: Mapping[str, str] = field(default_factory=dict)  # running: step -> until (ISO 8601)
    wait_ends: Mapping[str, int] = field(default_factory=dict)  # step -> ms of the steady clock
    boot: str = ""  # the machine's run that the steady clock counts in
    announced: WrenchSetting | None = None
    tightened: tuple[Tightened, ...] = ()  # of the open step, pass by pass in order
    turned: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Fasteners said to be turned by angle: step -> labels. Going back does not turn them back."""
    part_way: frozenset[str] = frozenset()  # tightenings skipped after they were begun
    listening: bool = True
    stopped: bool = False
    broken: frozenset[str] = frozenset()  # equipment not working
    last_said: tuple[str, ...] = ()
    unsaid: tuple[Say, ...] = ()  # cut short: must be said before the work moves on
    kept: KeptNote | KeptPicture | None = None  # what "correction" takes back before a reading
    pictures: Mapping[str, str] = field(default_factory=dict)  # SHA-256 -> taken, in order
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
