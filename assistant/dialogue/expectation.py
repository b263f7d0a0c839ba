"""What may be said now: the listening spec of each moment, as narrow as the moment allows."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import assert_never

from assistant.dialogue.context import Context
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.state import (
    Acknowledge,
    Blocked,
    Choosing,
    ClockAsked,
    ConditionReadback,
    Conditions,
    DialogueState,
    DigitCheck,
    DispositionReason,
    Doing,
    Ended,
    GoingBack,
    Inspecting,
    Loosening,
    Manual,
    ManualReadback,
    Measuring,
    Noting,
    OutOfLimit,
    Release,
    Review,
    RevisionHeard,
    Skipping,
    Spelled,
    State,
    Stopping,
    Tightening,
    TorqueAcknowledge,
    Waiting,
    WaitOffered,
)
from assistant.language.spec import ListenSpec, NumberSpec
from assistant.procedure.models import (
    CautionStep,
    ChoiceStep,
    Gauge,
    InspectionStep,
    MeasurementStep,
    Procedure,
    TighteningStep,
    WaitStep,
)
from assistant.quantities.units import same_dimension

ANYTIME = (
    "repeat",
    "slower",
    "faster",
    "louder",
    "quieter",
    "where_am_i",
    "what_is_left",
    "read_cautions",
    "take_note",
    "attach_picture",
    "pause_listening",
    "stop_work",
    "help",
    "what_torque",
    "what_limit",
    "digits",
)
"""Commands that make sense in nearly every moment."""

SKIP_REASONS = ("skip_not_fitted", "skip_already_done", "skip_tool_missing", "skip_part_missing")
DISPOSITIONS = (
    "disposition_use_as_is",
    "disposition_rework",
    "disposition_replace",
    "disposition_refer",
)
_YES_NO = ("confirm", "wrong")
_SPOKEN_UNITS = ("thou", "tenth", "in", "mm", "um", "N*m", "lbf*ft", "lbf*in", "deg", "degC")


@dataclass(frozen=True)
class Expectation:
    """``spec``: what the recogniser listens for. ``free``: any other speech is kept as it is."""

    spec: ListenSpec
    free: bool = False


def number_spec(
    procedure: Procedure, step: MeasurementStep, gauge: Gauge | None = None
) -> NumberSpec:
    """Bounds on a reading of ``step``: the unit of the gauge in hand first, digits to its marks.

    ``gauge`` is the one in hand, where that is not the one called for.
    """
    gauge = gauge or procedure.gauge(step.gauge)
    unit = gauge.unit
    others = [u for u in _SPOKEN_UNITS if u != unit and same_dimension(u, unit)]
    if unit in ("mm", "um"):
        others = [u for u in others if u != "tenth"]
    ends = [a.to(unit).value for a in (step.lower, step.upper) if a is not None]
    low, high = (step.plausible_low, step.plausible_high)
    decimals = gauge.resolution.to(unit).decimals()
    feeler = gauge.kind in ("feeler", "plug_gauge", "ring_gauge")
    return NumberSpec(
        units=(unit, *others),
        max_decimals=4 if decimals is None else decimals,
        low=low.to(unit).value if low is not None else None,
        high=high.to(unit).value if high is not None else (max(ends) * 10 if ends else None),
        signed=(low is not None and low.value < 0) or any(e < Fraction(0) for e in ends),
        blades=feeler,
        # With a ring "less than" would clash with "does not go", which means the opposite there.
        bounds=gauge.kind in ("feeler", "plug_gauge", "plastic_gauge"),
    )


def person_phrases(context: Context, state: State) -> tuple[tuple[str, str], ...]:
    """(initials, spoken phrase) of everyone at the bench."""
    return tuple(
        (p.initials, context.language.prompt(
            "person_phrase", initials=context.language.say_spelling(p.initials)
        ))
        for p in state.people
    )  # fmt: skip


def listening(context: Context, state: State) -> Expectation:
    """The expectation of ``state``: what may be said, and whether free speech is kept."""
    if not state.listening:
        return Expectation(ListenSpec(commands=("resume_listening",)))
    moment = state.awaiting
    if isinstance(moment, Noting | DispositionReason):
        # what was begun can be left, and every question has its answer, in the middle of it too
        commands = ("wrong", "correction", *(c for c in ANYTIME if c != "take_note"))
        return Expectation(ListenSpec(commands=commands), free=True)
    if isinstance(moment, Ended):
        return Expectation(ListenSpec())
    return Expectation(_spec(context, state, moment))


def _spec(context: Context, state: State, moment: DialogueState) -> ListenSpec:
    own: tuple[str, ...] = ()
    phrases: tuple[tuple[str, str], ...] = ()
    spelling = False
    digits = False
    reading: NumberSpec | None = None
    step = context.procedure.step(state.step) if state.step is not None else None
    match moment:
        case Manual():
            spelling = True
        case ManualReadback() | ConditionReadback() | Stopping() | GoingBack() | ClockAsked():
            own = _YES_NO
        case Conditions(what=what):
            phrases = condition_phrases(context, what)
        case Acknowledge() | Loosening() | RevisionHeard():
            own = ("understood",)
        case Doing():
            own = ("done", "go_on")
        case Measuring():
            assert isinstance(step, MeasurementStep)
            own = ("correction", "remeasure", "wrong")
            gauge = gauge_in_hand(context.procedure, state, step.gauge)
            reading = number_spec(context.procedure, step, gauge)
            phrases = tuple((p, p) for p in step.positions)
        case DigitCheck():
            own = ("wrong", "correction")
            digits = True
        case OutOfLimit():
            own = ("correction", "remeasure", "wrong", *DISPOSITIONS)
            if isinstance(step, MeasurementStep):
                reading = number_spec(context.procedure, step)
        case Release(person=person):
            own = ("correction", "wrong", *(("accept", "refuse") if person else ()))
            phrases = person_phrases(context, state)
        case Review():
            own = ("go_on", "correction", "remeasure", "wrong")
            if isinstance(step, MeasurementStep):
                reading = number_spec(context.procedure, step)
                phrases = tuple((p, p) for p in step.positions)
            if isinstance(step, TighteningStep):
                own = ("go_on", "missed", "correction")
        case TorqueAcknowledge():
            own = ("understood", "missed")
        case Tightening():
            assert isinstance(step, TighteningStep)
            own = ("done", "missed", "correction")
            phrases = tuple((f, f) for f in step.fasteners)
        case Spelled(text=text):
            own = _YES_NO if text else ()
            spelling = not text
        case Choosing(option=option):
            own = _YES_NO if option else ()
            if isinstance(step, ChoiceStep) and not option:
                phrases = tuple((o.id, o.say) for o in step.options)
        case WaitOffered():
            own = ("done", "go_on")
        case Waiting():
            own = ("go_back",) if state.history else ()
        case Blocked() | Noting() | DispositionReason() | Ended():
            pass
        case Inspecting(person=person):
            own = ("accept", "refuse") if person else ()
            phrases = person_phrases(context, state)
        case Skipping():
            own = ("wrong", *SKIP_REASONS)
        case _:
            assert_never(moment)
    if step is not None and isinstance(
        moment, Doing | Measuring | OutOfLimit | Review | Loosening | TorqueAcknowledge | Tightening
        | Spelled | Choosing | Acknowledge | WaitOffered | Inspecting | Waiting | Blocked
    ):  # fmt: skip
        own += ("go_back",) if len(state.history) > 1 or isinstance(moment, Review) else ()
        if not isinstance(step, CautionStep | InspectionStep | WaitStep) and not isinstance(
            moment, Waiting | Acknowledge | OutOfLimit
        ):
            own += ("skip",)
    if "correction" not in own and (state.kept is not None or _may_correct(state, moment)):
        own += ("correction",)
    return ListenSpec(
        commands=own + tuple(c for c in ANYTIME if c not in own),
        reading=reading,
        digits=digits,
        spelling=spelling,
        phrases=phrases,
    )


def _may_correct(state: State, moment: DialogueState) -> bool:
    """Whether "correction" is answered with the way back to a value that is recorded already."""
    asked = isinstance(
        moment, Acknowledge | Doing | TorqueAcknowledge | Choosing | Spelled | WaitOffered | Waiting
        | Inspecting | Blocked
    )  # fmt: skip
    return asked and any(state.values.values())


def condition_phrases(context: Context, what: str) -> tuple[tuple[str, str], ...]:
    """(value, spoken words) of the variants or parts conditions of the procedure."""
    applies = context.procedure.applicability
    if what == "variant":
        return tuple((v, v.replace("_", " ")) for v in applies.variants)
    return tuple((p, context.language.prompt(f"parts_{p}")) for p in applies.parts)
