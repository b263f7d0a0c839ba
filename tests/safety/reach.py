"""What a walk met: a rule that was never near its subject has shown nothing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from assistant.dialogue.events import Heard, Opened, Resumed, SoundMissed, SpeechCut
from assistant.dialogue.facts import (
    DispositionDropped,
    DispositionRecorded,
    Fact,
    StepDone,
    ToolChecked,
)
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.inspection import Inspected
from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.kinds.tightening.facts import FastenerTightened
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.quantities.tools import Bench
from tests.safety.trace import Came, Trace
from tests.safety.value_rules import HEAT, RISE

AT_LEAST: dict[str, float] = {
    "fastener tightened": 5, "torque announced": 1.5, "turned by an angle": 0.4,
    "turned on again": 0.2, "loosened": 0.02, "checked": 0.1, "check repeated": 0.02,
    "done as a whole pass": 0.2, "left hand": 0.2,
    "fastener reopened": 0.05, "hold points accepted": 0.3, "hold points refused": 0.03,
    "dispositions released": 0.2, "dispositions refused": 0.03,
    "released on a recording": 0.1, "recordings lost": 0.02, "values out": 0.5,
    "shims chosen": 0.1, "shims chosen in pairs": 0.02, "shims that came out": 0.02,
    "heat for a fit": 0.02, "rise of a log": 0.01,
    "readings taken back: correction": 0.2,
    "readings taken back: remeasure": 0.15, "readings taken back: reopened": 0.3,
    "confirmed by digits": 0.4, "values converted": 0.2, "value derived": 0.6,
    "resumes": 1, "bench changes": 0.4,
    "tools refused": 0.1, "lines cut": 2, "step reopened": 0.5, "steps skipped": 0.15,
    "wait over": 0.15, "log ended": 0.04,
    "note taken": 0.05, "picture attached": 0.03, "work finished": 0.7,
    "adjusted": 0.06, "values for each place": 0.4,
    "interrupted by power": 0.1, "interrupted by clock": 0.4, "interrupted by low confidence": 0.4,
    "interrupted by wrong value": 0.05, "interrupted by wrong digits": 0.01,
}  # fmt: skip
"""How often a session must meet each of these on average, or the walk has shown little."""


def reached(trace: Trace, done: Mapping[str, int]) -> Counter[str]:
    """How often each thing happened in a session; ``done`` counts the interruptions by kind."""
    found: Counter[str] = Counter({f"interrupted by {what}": n for what, n in done.items()})
    bench: Bench | None = None
    for move in trace.moves:
        if not isinstance(move, Came):
            continue
        found["events"] += 1
        event = move.event
        if isinstance(event, Heard):
            found["utterances"] += 1
        if isinstance(event, Opened):
            bench = event.bench
        elif isinstance(event, Resumed):
            found["resumes"] += 1
            found["bench changes"] += event.bench is not None and event.bench != bench
            bench = event.bench or bench
        elif isinstance(event, SoundMissed):
            found["recordings lost"] += 1
        elif isinstance(event, SpeechCut):
            found["lines cut"] += len(event.unsaid)
    for _, fact in trace.facts(Fact):
        for name in _names(trace, fact):
            found[name] += 1
    return found


def short_of(found: Mapping[str, int], sessions: int) -> list[str]:
    """What was reached too seldom in so many sessions; a sentence each."""
    return [
        f"{name}: {found.get(name, 0)} times in {sessions} sessions, wanted {least * sessions:g}"
        for name, least in AT_LEAST.items()
        if found.get(name, 0) < least * sessions
    ]


def _names(trace: Trace, fact: AnyFact) -> list[str]:
    names = [fact.kind.replace("_", " ")]
    if isinstance(fact, ReadingConfirmed) and fact.indication.said is not None:
        names.append("values converted")
    if isinstance(fact, ValueDerived) and fact.position:
        names.append("values for each place")
    if isinstance(fact, ReadingOffered) and fact.indication.relation == "between":
        names.append("strips compared")
    if isinstance(fact, DispositionRecorded) and fact.clip and fact.released_by:
        names.append("released on a recording")
    if isinstance(fact, ShimsChosen):
        names += ["shims chosen in pairs"] * bool(fact.kept_for)
        names += ["shims that came out"] * (fact.present is not None)
    if isinstance(fact, ValueDerived):
        names += ["heat for a fit"] * (fact.formula == HEAT)
        names += ["rise of a log"] * (fact.formula == RISE)
    match fact:
        case FastenerTightened(step=name):
            step = trace.step(name)
            assert isinstance(step, TighteningStep)
            if fact.turn is not None:
                names.append("loosened" if fact.loosened else "turned by an angle")
                names += ["turned on again"] * (fact.pass_number > 1 and fact.torque is None)
            names += ["checked"] * (fact.moved is not None)
            names += ["done as a whole pass"] * fact.together
            names += ["left hand"] * step.left_hand
        case Inspected(accepted=accepted):
            names.append("hold points accepted" if accepted else "hold points refused")
        case DispositionRecorded(released_by=str()):
            names.append("dispositions released")
        case DispositionDropped(how=how):
            names.append(f"dispositions {how.replace('_', ' ')}")
        case ReadingOffered(digits_asked=True):
            names.append("digits asked")
        case ReadingOffered(judgement=judged) | ValueDerived(judgement=judged):
            if judged.verdict != "in":
                names.append(f"values {judged.verdict}")
        case ReadingConfirmed(how="digits"):
            names.append("confirmed by digits")
        case ReadingSuperseded(why=why):
            names.append(f"readings taken back: {why}")
        case StepDone(how=how):
            names.append(f"steps {how.replace('_', ' ')}")
        case ToolChecked(stops=True):
            names.append("tools refused")
        case _:
            pass
    return names
