"""What must hold of every session, whatever is said, cut short, unplugged or misheard.

Each rule reads a :class:`Trace` and yields ``(place, sentence)`` for every breach of it. The rules
use the procedure as it is written and plain arithmetic; they never ask the dialogue.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime

from assistant.dialogue.effects import about
from assistant.dialogue.events import Heard, Resumed
from assistant.dialogue.facts import (
    Acknowledged,
    Adjusted,
    DispositionRecorded,
    Fact,
    PictureAttached,
    PictureTakenBack,
    StepDone,
    StepOpened,
    StepReopened,
    ToolChecked,
    WaitOver,
    WaitStarted,
    WorkFinished,
)
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.kinds.choice import Chosen
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.identification import Identified
from assistant.dialogue.kinds.inspection import Inspected
from assistant.dialogue.kinds.log.facts import LogEnded, LogStarted, RowMissed
from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.dialogue.kinds.shims.facts import ShimsChosen
from assistant.dialogue.kinds.tightening.facts import (
    CheckRepeated,
    FastenerReopened,
    FastenerTightened,
    TorqueAnnounced,
    TurnAnnounced,
)
from assistant.procedure.adjusting import AdjustableStep
from assistant.procedure.kinds.caution import CautionStep
from assistant.procedure.kinds.choice import ChoiceStep
from assistant.procedure.kinds.derived import DerivedStep
from assistant.procedure.kinds.inspection import InspectionStep
from assistant.procedure.kinds.log import LogStep
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.kinds.shims import ShimStep
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.wait import WaitStep
from assistant.procedure.places import reference
from assistant.procedure.step import GaugedStep, LimitedStep, ReadStep
from assistant.quantities.amount import Amount, Indication
from assistant.quantities.formula import evaluate
from assistant.quantities.units import UNITS, same_dimension
from tests.safety.place_rules import a_place_is_not_heard_as_part_of_its_value
from tests.safety.reason_rules import a_value_is_released_only_once_its_reason_was_heard
from tests.safety.stage_rules import STAGE_RULES, announced, written_stages
from tests.safety.tool_rules import TOOL_RULES
from tests.safety.trace import Said, Stated, Trace
from tests.safety.unit_rules import a_reading_that_counts_is_the_one_that_was_said
from tests.safety.value_rules import (
    a_computed_value_is_what_its_readings_give,
    a_strip_lies_between_the_bars_that_were_said,
    shims_that_come_out_are_those_that_were_measured,
)

Breach = tuple[int, str]
Rule = Callable[[Trace], Iterator[Breach]]


def no_fastener_before_its_torque_was_heard_and_understood(trace: Trace) -> Iterator[Breach]:
    """A pass is announced to its end, with its torque and turn, and acknowledged first."""
    for at, fact in trace.facts(FastenerTightened):
        told = announced(trace, at, fact.step)
        if told is None:
            yield at, f"{fact.fastener} of {fact.step} was tightened to no announced torque"
            continue
        understood = trace.last(at, Acknowledged, step=fact.step) or -1
        if trace.heard(told, understood, *_torque_and_turn(trace, fact)) is None:
            yield at, f"{fact.fastener} of {fact.step}: {fact} was not heard and understood"


def _torque_and_turn(trace: Trace, fact: FastenerTightened) -> list[str]:
    """What was done, as an announcement says it: the figure that is set or turned has digits."""
    say = trace.context.language.say_amount
    if fact.torque is None:
        return [] if fact.turn is None else [say(fact.turn, digits=True)]
    turn = [] if fact.turn is None else [say(fact.turn)]
    return [say(fact.torque, digits=True), *turn]


def the_torque_tightened_is_the_one_announced(trace: Trace) -> Iterator[Breach]:
    """The last announcement of the step is of this very pass, torque and turn, resumed or not."""
    for at, fact in trace.facts(FastenerTightened):
        told = announced(trace, at, fact.step)
        if told is None:
            continue
        said = trace.fact(told)
        if isinstance(said, TurnAnnounced):
            same = (said.pass_number, None, said.turn, said.loosen) == (
                fact.pass_number, fact.torque, fact.turn, fact.loosened,
            )  # fmt: skip
        else:
            assert isinstance(said, TorqueAnnounced)
            same = (said.pass_number, said.torque) == (fact.pass_number, fact.torque)
        if not same:
            yield at, f"{fact} but announced was {said}"
        resumed = max((i for i, _ in _resumed(trace, at)), default=-1)
        if trace.heard(resumed, at, *_torque_and_turn(trace, fact)) is None:
            yield at, f"{fact} was not repeated after the session was resumed"


def no_fastener_twice_in_a_pass_unless_reopened(trace: Trace) -> Iterator[Breach]:
    """Nobody tightens, or turns on by an angle, what stands tightened in that pass."""
    standing: set[tuple[str, int, str]] = set()
    for at, fact in trace.facts(Fact):
        if isinstance(fact, FastenerTightened):
            bolt = (fact.step, fact.pass_number, fact.fastener)
            if bolt in standing:
                yield at, f"{bolt} stands tightened already"
            standing.add(bolt)
        else:
            _void(standing, fact)


def a_turned_bolt_is_turned_again_only_when_the_builder_says_it_was_missed(
    trace: Trace,
) -> Iterator[Breach]:
    """Torque plus angle: a bolt that was turned on is past its yield, or near it.

    Or when the builder was told to loosen it by name, and has acknowledged that.
    """
    turned: dict[tuple[str, int, str], int] = {}
    loosen = ("loosen",) if trace.procedure.language == "en-US" else ()
    for at, fact in trace.facts(FastenerTightened):
        if fact.loosened:  # a stage of its own: it may be turned on again
            turned = {k: i for k, i in turned.items() if k[::2] != (fact.step, fact.fastener)}
        if fact.turn is None or fact.loosened:
            continue
        key = (fact.step, fact.pass_number, fact.fastener)
        before = turned.get(key)
        turned[key] = at
        if before is None:
            continue
        again = trace.last(at, FastenerReopened, step=fact.step, fastener=fact.fastener)
        if again is not None and again > before and isinstance(trace.event(again), Heard):
            continue
        known = trace.last(at, Acknowledged, step=fact.step, of="loosening") or -1
        loosened = trace.heard(before, known, fact.fastener, *loosen)
        if loosened is None:
            yield at, f"{fact.fastener} of {fact.step} was turned on twice"


def no_tightening_is_done_incomplete(trace: Trace) -> Iterator[Breach]:
    """Done means every fastener in every pass, and no pass begins before the one before it ends."""
    standing: set[tuple[str, int, str]] = set()
    for at, fact in trace.facts(Fact):
        if isinstance(fact, FastenerTightened):
            step = trace.step(fact.step)
            assert isinstance(step, TighteningStep)
            earlier = {(step.id, p, f) for p in range(1, fact.pass_number) for f in step.fasteners}
            if earlier - standing:
                yield at, f"pass {fact.pass_number} of {fact.step} begins before {earlier}"
            standing.add((fact.step, fact.pass_number, fact.fastener))
        elif isinstance(fact, StepDone) and fact.how == "done":
            step = trace.step(fact.step)
            if isinstance(step, TighteningStep):
                passes = range(1, len(written_stages(step)) + 1)
                wanted = {(step.id, p, f) for p in passes for f in step.fasteners}
                if wanted - standing:
                    yield at, f"{fact.step} is done without {wanted - standing}"
        else:
            _void(standing, fact)


def no_reading_counts_that_was_not_read_back_to_its_end(trace: Trace) -> Iterator[Breach]:
    """The builder hears the value, and its place, after saying it and before it counts."""
    for at, fact in trace.facts(ReadingConfirmed):
        offered = trace.last(at, ReadingOffered, step=fact.step, position=fact.position)
        if offered is None:
            yield at, f"{fact.step} {fact.position}: {fact.indication} was never heard"
            continue
        if not any(
            trace.heard(offered, trace.cause(at), words, _place(trace, fact))
            for words in _in_words(trace, fact.indication)
        ):
            yield at, f"{fact.step} {fact.position}: {fact.indication} was not read back"


def a_doubted_reading_counts_only_by_its_digits(trace: Trace) -> Iterator[Breach]:
    """What was heard with little confidence, or is far out, is repeated digit by digit."""
    for at, fact in trace.facts(ReadingConfirmed):
        offered = trace.last(at, ReadingOffered, step=fact.step, position=fact.position)
        if offered is None:
            continue
        event, given = trace.event(offered), trace.fact(offered)
        assert isinstance(event, Heard)
        assert isinstance(given, ReadingOffered)
        unsure = event.recognition.hypotheses[0].confidence < trace.context.policy.sure
        typed = event.recognition.engine == "keyboard"
        if (given.digits_asked or (unsure and not typed)) and fact.how != "digits":
            yield at, f"{fact.step} {fact.position}: {fact.indication} counts without its digits"


def the_verdict_is_what_the_figures_give(trace: Trace) -> Iterator[Breach]:
    """Exact comparison with the limits as written; a guarded one is never looser than a simple."""
    for at, fact in trace.facts(ReadingConfirmed):
        if fact.indication.relation == "eq":
            step = _with_limits(trace, at, _read(trace, fact))
            yield from _verdict(at, step, fact.indication.amount, fact.judgement.verdict)
    for at, derived in trace.facts(ValueDerived):
        computed = trace.step(derived.step)
        assert isinstance(computed, LimitedStep)
        yield from _verdict(at, computed, derived.value, derived.judgement.verdict)


def _with_limits(trace: Trace, at: int, step: object) -> LimitedStep:
    """A step with limits as they come to: around the earlier value as it was last computed."""
    assert isinstance(step, LimitedStep)
    if not isinstance(step, GaugedStep) or step.around is None:
        return step
    computed = trace.last(at, ValueDerived, step=step.around)
    value = None if computed is None else trace.fact(computed)
    assert isinstance(value, ValueDerived)
    middle = (value.shown or value.value).to(step.unit).value
    ends = {
        key: None if end is None else Amount(middle + end.difference_to(step.unit), step.unit)
        for key, end in (("lower", step.lower), ("upper", step.upper))
    }
    return step.model_copy(update=ends)


def _verdict(at: int, step: LimitedStep, value: Amount, verdict: str) -> Iterator[Breach]:
    exact = value.to(step.unit).value
    inside = (step.lower is None or exact >= step.lower.to(step.unit).value) and (
        step.upper is None or exact <= step.upper.to(step.unit).value
    )
    if (verdict == "in" and not inside) or (verdict == "out" and inside):
        yield at, f"{step.id}: {value} is called {verdict} of {step.limits}"
    if step.rule == "simple" and verdict not in ("in", "out", "no_limit"):
        yield at, f"{step.id}: {value} is called {verdict} without a guard"


def nothing_out_of_limit_is_left_behind_without_a_release(trace: Trace) -> Iterator[Breach]:
    """A step whose value did not pass ends only when another person has released it.

    Or when it was measured again at that place, and found within limits.
    """
    out: dict[tuple[str, str], int] = {}
    for at, fact in trace.facts(Fact):
        match fact:
            case ReadingOffered(step=step, position=position) if _taken(trace, at, fact):
                verdict = _of_all(trace, at, fact)
                if verdict == "in":
                    out.pop((step, position), None)
                elif verdict == "out":
                    out[step, position] = at
            case ReadingConfirmed(step=step, position=position, judgement=judged):
                out.pop((step, position), None)
                if judged.verdict not in ("in", "no_limit"):
                    offered = trace.last(at, ReadingOffered, step=step, position=position)
                    out[step, position] = at if offered is None else offered
            case ValueDerived(step=step, position=position, judgement=judged):
                out.pop((step, position), None)
                if judged.verdict not in ("in", "no_limit"):
                    out[step, position] = at
            case StepReopened(step=step):
                out = {key: place for key, place in out.items() if key[0] != step}
            case StepDone(step=step, how="done" | "skipped"):
                yield from _unreleased(trace, at, {k: p for k, p in out.items() if k[0] == step})
            case WorkFinished():
                yield from _unreleased(trace, at, out)
            case _:
                pass


def an_adjustment_is_of_a_value_out_of_limits_and_they_have_an_end(
    trace: Trace,
) -> Iterator[Breach]:
    """Nothing within limits is adjusted, and none more often than the procedure allows."""
    since: Counter[str] = Counter()
    for at, fact in trace.facts(Adjusted, StepDone, DispositionRecorded):
        if isinstance(fact, Adjusted):
            step = trace.step(fact.step)
            assert isinstance(step, AdjustableStep)
            if fact.found.relation == "eq" and step.rule == "simple":
                yield from _verdict(at, step, fact.found.amount, "out")
            since[step.id] += 1
            if step.tries is not None and since[step.id] > step.tries:
                yield at, f"{step.id} was adjusted {since[step.id]} times of {step.tries}"
        elif isinstance(fact, StepDone) or fact.released_by is not None:
            del since[fact.step]


def what_was_adjusted_is_measured_again(trace: Trace) -> Iterator[Breach]:
    """With the adjustment every reading that it may have moved is taken back, in the same turn."""
    standing: set[tuple[str, str]] = set()
    for at, fact in trace.facts(Adjusted, ReadingOffered, ReadingSuperseded):
        match fact:
            case ReadingOffered(step=name, position=place):
                if _taken(trace, at, fact) and fact.indication.relation == "eq":
                    standing.add((name, place))
            case ReadingSuperseded(step=name, position=place):
                standing.discard((name, place))
            case Adjusted(step=name, position=place):
                step = trace.step(name)
                one = isinstance(step, AdjustableStep) and step.measure_again == "place"
                moved = {(s, p) for s, p in standing if s == name and (not one or p == place)}
                gone = {
                    (after.step, after.position)
                    for later, after in trace.facts(ReadingSuperseded)
                    if later > at and trace.cause(later) == trace.cause(at)
                }
                if moved - gone:
                    yield at, f"{sorted(moved - gone)} still stand, and may have moved"


def a_value_for_each_place_is_that_of_its_place(trace: Trace) -> Iterator[Breach]:
    """Each is computed from the readings at that very place, and none is left out."""
    for at, fact in trace.facts(ValueDerived):
        step = trace.step(fact.step)
        assert isinstance(step, DerivedStep)
        amounts: dict[str, Amount] = {}
        for name, source in step.inputs.items():
            from_, picks = reference(source)
            position = " ".join([fact.position, *picks]).strip()
            read = trace.last(at, ReadingConfirmed, step=from_, position=position)
            found = None if read is None else trace.fact(read)
            if isinstance(found, ReadingConfirmed) and found.indication.relation == "eq":
                amounts[name] = found.indication.amount
        if not step.each or len(amounts) < len(step.inputs):
            continue
        wanted = evaluate(step.formula, amounts, step.unit)
        if wanted.value != fact.value.to(step.unit).value:
            yield at, f"{fact.step} {fact.position} is {fact.value}, and should be {wanted}"
    for at, done in trace.facts(StepDone):
        step = trace.step(done.step)
        if done.how == "done" and isinstance(step, DerivedStep):
            opened = trace.last(at, StepOpened, step=done.step) or 0
            for place in step.places_in(trace.procedure):
                value = trace.last(at, ValueDerived, step=done.step, position=place) or -1
                if value < opened:
                    yield at, f"{done.step} is done without a value for {place}"


def _taken(trace: Trace, at: int, fact: ReadingOffered) -> bool:
    """Whether the reading offered became the value of its place: at once, or by its digits."""
    if not fact.digits_asked:
        return True
    place = about(fact.step, fact.position)
    for move in trace.moves[at + 1 :]:
        if isinstance(move, Said) and move.tone == "readback" and move.about == place:
            return True
        if isinstance(move, Stated) and isinstance(move.fact, ReadingOffered | StepDone):
            return False
    return False


def _of_all(trace: Trace, at: int, fact: ReadingOffered) -> str:
    """The verdict on what was tried at a place since it was empty: blades that go and do not."""
    if fact.indication.relation == "eq":
        return fact.judgement.verdict
    since = trace.last(at, ReadingSuperseded, step=fact.step, position=fact.position) or 0
    step = _read(trace, fact)
    seen = [
        one.indication
        for place, one in trace.facts(ReadingOffered, until=at + 1)
        if place > since
        and (one.step, one.position) == (fact.step, fact.position)
        and one.indication.relation != "eq"
        and _taken(trace, place, one)
    ]
    bounds = [one.bounds(step.unit) for one in seen]
    low = max((b for b, _ in bounds if b is not None), default=None)
    high = min((b for _, b in bounds if b is not None), default=None)
    lower, upper = (None if a is None else a.to(step.unit).value for a in (step.lower, step.upper))
    if (lower is None or (low is not None and low >= lower)) and (
        upper is None or (high is not None and high <= upper)
    ):
        return "in"
    if step.rule == "guarded":
        return "undecided"  # how far beyond a limit is out depends on the gauge
    # a ring that goes shows its own size or less, a blade that does not go less than its own
    less = {one.bounds(step.unit)[1] for one in seen if one.relation == "lt"}
    below = (
        lower is not None
        and high is not None
        and (high < lower or (high == lower and high in less))
    )
    above = upper is not None and low is not None and low > upper
    return "out" if below or above else "undecided"


def _unreleased(trace: Trace, at: int, out: dict[tuple[str, str], int]) -> Iterator[Breach]:
    for (step, position), since in out.items():
        released = any(
            (fact.step, fact.position) == (step, position) and fact.released_by in trace.others
            for place, fact in trace.facts(DispositionRecorded, until=at)
            if place > since
        )
        if not released:
            yield at, f"{step} {position} is out of limits and was left without a release"


def a_release_is_by_another_person_who_was_read_back(trace: Trace) -> Iterator[Breach]:
    """Whoever accepts at a hold point or releases a value is not the builder, and was named."""
    for at, fact in trace.facts(Inspected, DispositionRecorded):
        person = fact.person if isinstance(fact, Inspected) else fact.released_by
        if person is None:
            continue
        if person not in trace.others or person == trace.builder:
            yield at, f"{fact.step} was decided by {person}"
        opened = trace.last(at, StepOpened, step=fact.step) or 0
        resumed = max((i for i, _ in _resumed(trace, at)), default=0)
        if trace.heard(max(opened, resumed), trace.cause(at), person) is None:
            yield at, f"{person} was not read back before {fact.step} was decided"


def a_hold_point_is_passed_only_by_acceptance(trace: Trace) -> Iterator[Breach]:
    """An inspection is never skipped, and done only when it was accepted on this visit."""
    for at, fact in trace.facts(StepDone):
        if not isinstance(trace.step(fact.step), InspectionStep) or fact.how == "not_applicable":
            continue
        accepted = trace.last(at, Inspected, step=fact.step)
        opened = trace.last(at, StepOpened, step=fact.step) or 0
        last = trace.fact(accepted) if accepted is not None and accepted > opened else None
        if fact.how != "done" or not isinstance(last, Inspected) or not last.accepted:
            yield at, f"the hold point {fact.step} was passed without acceptance"


def cautions_are_heard_and_acknowledged(trace: Trace) -> Iterator[Breach]:
    """Every caution of a step is heard to its end and acknowledged before the step is done."""
    for at, fact in trace.facts(StepDone):
        if fact.how != "done":
            continue
        step = trace.step(fact.step)
        opened = trace.last(at, StepOpened, step=fact.step) or 0
        texts = (step.say, *step.cautions) if isinstance(step, CautionStep) else step.cautions
        for text in texts:
            words = " ".join(text.split())
            known = trace.last(at, Acknowledged, step=step.id, what=text) or -1
            if known < opened or trace.heard(opened, known, words) is None:
                yield at, f"{fact.step} was done without its caution: {words}"


def nothing_is_done_by_a_refused_tool(trace: Trace) -> Iterator[Breach]:
    """A tool that was refused, or whose calibration has run out, does nothing for the step."""
    for at, fact in trace.facts(FastenerTightened, ReadingOffered, ShimsChosen, TorqueAnnounced):
        checked = trace.last(at, ToolChecked, step=fact.step) or 0
        found = trace.fact(checked) if checked > trace.bench(at)[0] else None
        if isinstance(found, ToolChecked) and found.stops:
            yield at, f"{fact.kind} of {fact.step} with {found.name}: {found.findings}"
        step = trace.step(fact.step)
        if isinstance(step, LogStep) and isinstance(fact, ReadingOffered):
            used = step.at(fact.position).gauge
        else:
            used = _tool_of(step)
        tool = trace.tool(at, used) if used else None
        looked = trace.cause(max([trace.last(at, StepOpened, step=step.id) or 0,
                                  *(i for i, _ in _resumed(trace, at))]))  # fmt: skip
        if tool is not None and tool.calibration_due is not None:
            today = datetime.fromisoformat(trace.event(looked).at).date()
            if tool.calibration_due < today:
                yield at, f"{fact.kind} of {fact.step}: {tool.name} ran out on that day"


def a_stack_of_shims_is_heard_adds_up_and_is_in_the_box(trace: Trace) -> Iterator[Breach]:
    """Gap less shims is the result, within limits; no shim is handed out twice in a session."""
    for at, fact in trace.facts(ShimsChosen):
        step = trace.step(fact.step)
        assert isinstance(step, ShimStep)
        unit = step.unit
        total = sum(s.to(unit).value for s in fact.shims)
        old = 0 if fact.present is None else fact.present.to(unit).value
        result = fact.gap.to(unit).value + old - total
        if result != fact.result.to(unit).value:
            yield at, f"{fact.step}: {fact.gap} less {fact.shims} is not {fact.result}"
        yield from _verdict(at, step, fact.result, "in")
        told = _shims_told(trace, at, fact)
        if told is None:
            yield at, f"{fact.step}: the shims {fact.shims} were not read out to the end"
        yield from _short_of_shims(trace, at if told is None else told, step, fact)


def _shims_told(trace: Trace, at: int, fact: ShimsChosen) -> int | None:
    """Where the shims that were fitted then were read out."""
    opened = trace.last(at, StepOpened, step=fact.step) or 0
    say = trace.context.language.say_amount
    return trace.heard(opened, trace.cause(at), *map(say, fact.shims))


def _box(trace: Trace, at: int, stock: str) -> str:
    """Which box is in hand: another may stand in for the one that is called for."""
    box = stock
    for _, fact in trace.facts(ToolChecked, until=at + 1):
        if stock in (fact.instead_of, fact.tool if not fact.instead_of else ""):
            box = fact.tool
    return box


def _short_of_shims(
    trace: Trace, at: int, step: ShimStep, chosen_now: ShimsChosen
) -> Iterator[Breach]:
    """Those told at ``at`` were in the box that was there then, beside what was taken of it."""
    box_id = _box(trace, at, step.stock)
    used: Counter[Amount] = Counter()
    standing: dict[str, ShimsChosen] = {}
    for _, fact in trace.facts(ShimsChosen, StepReopened, until=at + 1):
        if isinstance(fact, StepReopened):
            standing.pop(fact.step, None)
        else:
            standing[fact.step] = fact
    standing[step.id] = chosen_now
    since, _ = trace.bench(at)
    for chosen in standing.values():
        fitted = trace.last(at, ShimsChosen, step=chosen.step) or 0
        told = _shims_told(trace, fitted, chosen) or 0
        if chosen is not chosen_now and told < since:
            continue  # out of the box of another bench
        other = trace.step(chosen.step)
        if isinstance(other, ShimStep) and _box(trace, at, other.stock) == box_id:
            used.update(s.to(step.unit) for s in chosen.shims)
    tool = trace.tool(at, box_id)
    members = trace.procedure.gauge(step.stock).members
    box: Counter[Amount] = Counter()
    if tool is None:
        box.update(m.to(step.unit) for m in members)
    else:
        for member in tool.members:
            box[member.size.to(step.unit)] += member.count
    if used - box:
        yield at, f"{step.id}: {dict(used - box)} more shims than the box holds"


def steps_keep_their_order(trace: Trace) -> Iterator[Breach]:
    """What a step needs is finished before it opens; a wait lets only its own steps go on."""
    ended: set[str] = set()
    running: set[str] = set()
    for at, fact in trace.facts(Fact):
        match fact:
            case StepOpened(step=name):
                step = trace.step(name)
                missing = [s for s in step.after if s not in ended or s in running]
                if missing:
                    yield at, f"{name} opens before {missing}"
                for wait in (trace.step(w) for w in running):
                    assert isinstance(wait, WaitStep)
                    if name not in wait.meanwhile and name != wait.id:
                        yield at, f"{name} opens while {wait.id} runs"
            case WaitStarted(step=name):
                running.add(name)
            case WaitOver(step=name):
                running.discard(name)
            case StepDone(step=name):
                ended.add(name)
            case StepReopened(step=name):
                ended.discard(name)
                running.discard(name)
            case _:
                pass


def a_wait_is_over_only_when_its_time_is_up(trace: Trace) -> Iterator[Breach]:
    """However the wall clock is set meanwhile, as long as the machine runs on.

    Over a start of the machine there is only the wall clock to go by.
    """
    for at, fact in trace.facts(WaitOver):
        begun = trace.last(at, WaitStarted, step=fact.step)
        assert begun is not None
        step = trace.step(fact.step)
        assert isinstance(step, WaitStep)
        then, now = trace.turn(begun), trace.turn(at)
        passed = now.real_s - then.real_s
        if then.boot == now.boot and passed < float(step.duration.to("s").value):
            yield at, f"{fact.step} was over after {passed:.0f} s of {step.duration}"


def a_step_that_needs_a_picture_is_done_with_one(trace: Trace) -> Iterator[Breach]:
    """One of this very step, attached on this visit or before, and not taken back since."""
    there: dict[str, str] = {}
    for at, fact in trace.facts(PictureAttached, PictureTakenBack, StepReopened, StepDone):
        match fact:
            case PictureAttached(step=step, file=file):
                there[file] = step or ""
            case PictureTakenBack(file=file):
                there.pop(file, None)
            case StepReopened(step=step):
                there = {file: s for file, s in there.items() if s != step}
            case StepDone(step=step, how="done"):
                if trace.step(step).picture and step not in there.values():
                    yield at, f"{step} is done without its picture"


def a_row_of_a_log_is_read_at_its_time_and_marked_when_it_is_late(trace: Trace) -> Iterator[Breach]:
    """As long as the machine runs on, whatever the wall clock shows."""
    for at, fact in trace.facts(ReadingConfirmed):
        step = trace.step(fact.step)
        begun = trace.last(at, LogStarted, step=fact.step)
        offered = trace.last(at, ReadingOffered, step=fact.step, position=fact.position)
        if not isinstance(step, LogStep) or begun is None or offered is None:
            continue
        if not fact.due or not fact.read_at:
            yield at, f"{fact.position} of {fact.step} has no time"
        then, now = trace.turn(begun), trace.turn(offered)
        if then.boot != now.boot or any(begun < i < at for i, _ in _resumed(trace, at)):
            continue
        row = step.row_of(step.places.index(fact.position)) + step.first
        every = float(step.every.to("s").value)
        behind = now.real_s - then.real_s - row * every
        if behind < -float(step.late_s) - 1:
            yield at, f"{fact.position} of {fact.step} was read {-behind:.0f} s before it was due"
        if behind > float(step.late_s) + 5 and not fact.late_s:
            yield at, f"{fact.position} of {fact.step} was {behind:.0f} s late, and is not marked"


def a_log_is_done_only_with_every_row_read_or_missed(trace: Trace) -> Iterator[Breach]:
    """Each row of a log that ends counts whole, or is recorded as missed; it ends as it says."""
    for at, fact in trace.facts(StepDone):
        step = trace.step(fact.step)
        if not isinstance(step, LogStep) or fact.how != "done":
            continue
        begun = trace.last(at, LogStarted, step=fact.step) or 0
        ended = trace.last(at, LogEnded, step=fact.step) or -1
        if ended < begun:
            yield at, f"{fact.step} is done and its log has no end"
            continue
        end = trace.fact(ended)
        assert isinstance(end, LogEnded)
        read = {f.position: f for i, f in trace.facts(ReadingConfirmed, until=at)
                if i > begun and f.step == step.id}  # fmt: skip
        missed = {
            f.row for i, f in trace.facts(RowMissed, until=at) if i > begun and f.step == step.id
        }
        for row in range(end.rows):
            if row not in missed and any(step.places[i] not in read for i in step.asked(row)):
                yield at, f"row {row} of {fact.step} is neither read nor missed"
        if end.rows <= (step.planned if step.settled is None else step.earliest):
            yield at, f"{fact.step} ended after {end.rows} rows"
        if end.how == "not_settled" and not _released_since(trace, begun, at, step.id):
            yield at, f"{fact.step} did not settle and nobody released that"
        if end.how == "settled":
            yield from _settled(at, step, end, read)


def _released_since(trace: Trace, begun: int, at: int, step: str) -> bool:
    return any(
        fact.step == step and fact.position == "settled" and fact.released_by in trace.others
        for i, fact in trace.facts(DispositionRecorded, until=at)
        if i > begun
    )


def _settled(
    at: int, step: LogStep, end: LogEnded, read: dict[str, ReadingConfirmed]
) -> Iterator[Breach]:
    assert step.settled is not None
    rows = range(end.rows - 1 - step.intervals(step.settled.over), end.rows)
    for which, one in enumerate(step.readings):
        values = [
            read[place].indication.amount.to(one.unit).value
            for place in (step.places[step.asked(row)[which]] for row in rows)
            if place in read
        ]
        if len(values) < len(rows):
            yield at, f"{step.id} is said to have settled over rows that were missed"
        elif max(values) - min(values) > step.settled.within.difference_to(one.unit):
            yield at, f"{one.quantity} of {step.id} did not settle"


def values_come_only_from_values_that_count(trace: Trace) -> Iterator[Breach]:
    """A computed value, or a stack of shims, stands on values that stand themselves."""
    for at, fact in trace.facts(ValueDerived, ShimsChosen):
        step = trace.step(fact.step)
        sources: tuple[str, ...] = (step.gap,) if isinstance(step, ShimStep) else ()
        if isinstance(step, DerivedStep):
            sources = tuple(reference(s).step for s in step.inputs.values())
        for source in sources:
            counted = max(
                trace.last(at, ReadingConfirmed, step=source) or -1,
                trace.last(at, ValueDerived, step=source) or -1,
                trace.last(at, ShimsChosen, step=source) or -1,
            )
            reopened = trace.last(at, StepReopened, step=source) or -1
            if counted <= reopened:
                yield at, f"{fact.step} is computed from {source}, which does not count"


def nothing_moves_on_a_doubtful_word(trace: Trace) -> Iterator[Breach]:
    """Below the confidence for moving on, nothing is done, skipped, decided or taken back."""
    for at, fact in trace.facts(Fact):
        event = trace.event(at)
        if not isinstance(event, Heard) or not event.recognition.hypotheses:
            continue
        best = event.recognition.hypotheses[0]
        free = fact.kind in ("note_taken", "disposition_recorded")  # kept as sound
        if event.recognition.engine == "keyboard" or (free and not _decided(fact)):
            continue
        if best.confidence < trace.context.policy.advance and fact.kind in _MOVING:
            yield at, f"{fact.kind} by '{best.text}', heard at {best.confidence:.2f}"


_MOVING = (
    "manual_checked", "condition_chosen", "step_opened", "step_done", "step_reopened",
    "acknowledged", "reading_confirmed", "fastener_tightened", "identified", "chosen",
    "wait_started", "inspected", "disposition_recorded", "work_stopped", "work_finished",
    "fastener_reopened", "adjusted", "note_taken_back", "picture_taken_back", "disposition_dropped",
)  # fmt: skip


def _decided(fact: AnyFact) -> bool:
    return isinstance(fact, DispositionRecorded) and fact.released_by is not None


def answers_are_read_back_before_they_count(trace: Trace) -> Iterator[Breach]:
    """A number spelled off a part, or the answer to a choice, is heard again to its end first."""
    for at, fact in trace.facts(Identified, Chosen):
        opened = trace.last(at, StepOpened, step=fact.step) or 0
        if isinstance(fact, Identified):
            words = trace.context.language.say_spelling(fact.text)
        else:
            step = trace.step(fact.step)
            assert isinstance(step, ChoiceStep)
            words = next(o.say for o in step.options if o.id == fact.option)
        if trace.heard(opened, trace.cause(at), words) is None:
            yield at, f"{fact.step}: {words} was not read back"


def work_is_finished_only_when_every_step_is(trace: Trace) -> Iterator[Breach]:
    """At the end every step is done, skipped with its reason, or does not apply."""
    for at, _ in trace.facts(WorkFinished):
        for step in trace.procedure.steps:
            done = trace.last(at, StepDone, step=step.id)
            if done is None or done < (trace.last(at, StepReopened, step=step.id) or -1):
                yield at, f"finished without {step.id}"


def a_step_is_done_once(trace: Trace) -> Iterator[Breach]:
    """What is done, skipped or left out stays so until it is reopened."""
    done: set[str] = set()
    for at, fact in trace.facts(StepDone, StepReopened):
        if isinstance(fact, StepReopened):
            done.discard(fact.step)
        elif fact.how != "not_applicable":
            if fact.step in done:
                yield at, f"{fact.step} was done twice"
            done.add(fact.step)


def what_resumes_is_what_was(trace: Trace) -> Iterator[Breach]:
    """The replay of the journal gives the state that was lost, and the very facts stored."""
    for sentence in trace.strange:
        yield len(trace.moves) - 1, sentence


def nothing_makes_the_session_fail(trace: Trace) -> Iterator[Breach]:
    """No exception comes out of it, whatever happens."""
    for sentence in trace.failed:
        yield len(trace.moves) - 1, sentence


RULES: tuple[Rule, ...] = (
    no_fastener_before_its_torque_was_heard_and_understood,
    the_torque_tightened_is_the_one_announced,
    no_fastener_twice_in_a_pass_unless_reopened,
    a_turned_bolt_is_turned_again_only_when_the_builder_says_it_was_missed,
    no_tightening_is_done_incomplete,
    *STAGE_RULES,
    no_reading_counts_that_was_not_read_back_to_its_end,
    a_doubted_reading_counts_only_by_its_digits,
    a_reading_that_counts_is_the_one_that_was_said,
    the_verdict_is_what_the_figures_give,
    nothing_out_of_limit_is_left_behind_without_a_release,
    an_adjustment_is_of_a_value_out_of_limits_and_they_have_an_end,
    what_was_adjusted_is_measured_again,
    a_value_for_each_place_is_that_of_its_place,
    a_place_is_not_heard_as_part_of_its_value,
    a_release_is_by_another_person_who_was_read_back,
    a_value_is_released_only_once_its_reason_was_heard,
    a_hold_point_is_passed_only_by_acceptance,
    cautions_are_heard_and_acknowledged,
    nothing_is_done_by_a_refused_tool,
    *TOOL_RULES,
    a_stack_of_shims_is_heard_adds_up_and_is_in_the_box,
    steps_keep_their_order,
    a_wait_is_over_only_when_its_time_is_up,
    a_step_that_needs_a_picture_is_done_with_one,
    a_row_of_a_log_is_read_at_its_time_and_marked_when_it_is_late,
    a_log_is_done_only_with_every_row_read_or_missed,
    values_come_only_from_values_that_count,
    a_computed_value_is_what_its_readings_give,
    shims_that_come_out_are_those_that_were_measured,
    a_strip_lies_between_the_bars_that_were_said,
    nothing_moves_on_a_doubtful_word,
    answers_are_read_back_before_they_count,
    work_is_finished_only_when_every_step_is,
    a_step_is_done_once,
    what_resumes_is_what_was,
    nothing_makes_the_session_fail,
)


def breaches(trace: Trace) -> list[tuple[str, int, str]]:
    """Every breach of every rule: (rule, place in the trace, sentence)."""
    return [(rule.__name__, at, text) for rule in RULES for at, text in rule(trace)]


def _void(standing: set[tuple[str, int, str]], fact: object) -> None:
    """Take out what a fact reopens."""
    if isinstance(fact, FastenerReopened):
        standing.discard((fact.step, fact.pass_number, fact.fastener))
    elif isinstance(fact, CheckRepeated):
        standing -= {bolt for bolt in standing if bolt[:2] == (fact.step, fact.pass_number)}
    elif isinstance(fact, StepReopened):
        standing -= {bolt for bolt in standing if bolt[0] == fact.step}


def _resumed(trace: Trace, before: int) -> Iterator[tuple[int, Resumed]]:
    for at, move in enumerate(trace.moves[:before]):
        event = getattr(move, "event", None)
        if isinstance(event, Resumed):
            yield at, event


def _read(trace: Trace, fact: ReadingOffered | ReadingConfirmed) -> GaugedStep:
    """What was read: the step, or the value of the log."""
    step = trace.step(fact.step)
    assert isinstance(step, ReadStep)
    return step.at(fact.position)


def _place(trace: Trace, fact: ReadingConfirmed) -> str:
    """The place as it is said."""
    step = trace.step(fact.step)
    assert isinstance(step, ReadStep)
    return step.spoken(fact.position)


def _tool_of(step: object) -> str:
    match step:
        case TighteningStep(tool=tool):
            return tool
        case MeasurementStep(gauge=gauge):
            return gauge
        case ShimStep(stock=stock):
            return stock
        case _:
            return ""


def _in_words(trace: Trace, indication: Indication) -> Iterator[str]:
    """How a value may be spoken: as it was said, or in another unit that gives it exactly."""
    language = trace.context.language
    yield language.say_indication(indication)
    for unit in UNITS:
        if indication.relation != "between" and same_dimension(unit, indication.amount.unit):
            amount = indication.amount.to(unit)
            if (amount.value * 10**6).denominator == 1:
                yield language.say_indication(replace(indication, amount=amount))
                yield language.say_indication(
                    replace(indication, amount=Amount(amount.value, amount.unit))
                )
