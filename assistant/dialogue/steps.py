"""Opening, completing, skipping and reopening steps of every kind."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Literal, TypeVar

from assistant.dialogue import adjusting, disposing, tooling, waiting
from assistant.dialogue.earlier import stopped_at
from assistant.dialogue.effects import EndSession, about
from assistant.dialogue.facts import (
    Acknowledged,
    StepDone,
    StepOpened,
    StepReopened,
    WaitOver,
    WorkFinished,
)
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.order import (
    applies,
    count_of,
    left_out,
    next_step,
    place_of,
    remaining,
)
from assistant.dialogue.states import Acknowledge, Blocked, Ended, GoingBack, PictureOwed, Waiting
from assistant.dialogue.turn import Turn
from assistant.procedure.kinds import kind_of as procedure_kind
from assistant.procedure.step import Step

_V = TypeVar("_V")


def cautions_of(step: Step) -> tuple[str, ...]:
    """The cautions to be acknowledged before the step's own work."""
    return kind_of(step).cautions(step)


def open_next(turn: Turn) -> None:
    """Open the step that comes next, or wait, or finish."""
    procedure = turn.context.procedure
    while out := left_out(procedure, turn.state):
        for step in out:
            turn.record(StepDone(step=step.id, how="not_applicable"))
            turn.put(outcomes={**turn.state.outcomes, step.id: "not_applicable"})
    turn.put(step=None)
    following = next_step(procedure, turn.state)
    if following is not None:
        open_step(turn, following)
    elif turn.state.waits:
        turn.go(Waiting())
        turn.say("waiting", waits=waiting.say_waits(turn))
    elif remaining(procedure, turn.state):
        turn.go(Waiting())
        turn.say("stuck", tone="caution", title=remaining(procedure, turn.state)[0].title)
    else:
        _finish(turn)


def _finish(turn: Turn) -> None:
    skipped = tuple(s for s, how in turn.state.outcomes.items() if how == "skipped")
    turn.record(WorkFinished(skipped=skipped, open_dispositions=turn.state.dispositions))
    turn.go(Ended())
    turn.say(
        "finished",
        skipped=turn.words("finished_skipped", count=len(skipped)),
        deviations=turn.words("finished_deviations", count=turn.state.dispositions),
    )
    turn.effects.append(EndSession("finished"))


def open_step(turn: Turn, step: Step) -> None:
    """Open ``step``: say what it is, its cautions first, then its own work."""
    turn.put(
        step=step.id,
        history=(*turn.state.history, step.id),
        awaiting=Blocked(),
        announced=None,
        tightened=(),
    )
    turn.record(StepOpened(step=step.id, title=step.title))
    turn.show("step_opens", number=number_of(turn, step), total=total(turn), title=step.title)
    if cautions_of(step):
        say_caution(turn, 0)
    else:
        begin(turn)


def number_of(turn: Turn, step: Step) -> int:
    """The step's place among those that are not left out, counted from one."""
    return place_of(turn.context.procedure, turn.state, step)


def total(turn: Turn) -> int:
    """How many steps there are, without those that are left out as far as is known now."""
    return count_of(turn.context.procedure, turn.state)


def say_caution(turn: Turn, index: int) -> None:
    """Say a caution of the open step, and await that it is acknowledged."""
    turn.go(Acknowledge(index))
    ask_caution(turn, index)


def ask_caution(turn: Turn, index: int) -> None:
    """Say a caution of the open step, and ask for it to be acknowledged."""
    turn.say("caution_read", tone="caution", text=cautions_of(turn.step)[index])
    turn.ask("caution_ask")


def acknowledge(turn: Turn, at: Acknowledge) -> None:
    """A caution was acknowledged: the next one, or the step's own work."""
    step = turn.step
    texts = cautions_of(step)
    turn.record(Acknowledged(step=step.id, what=texts[at.index]))
    if at.index + 1 < len(texts):
        say_caution(turn, at.index + 1)
    elif procedure_kind(step).is_caution:
        complete(turn)
    else:
        begin(turn)


def begin(turn: Turn) -> None:
    """Say the step's own work and await what it needs."""
    step = turn.step
    turn.go(Blocked())  # a kind that asks for nothing below can never be gone past as done
    if tooling.blocked(turn):
        return
    kind_of(step).begin(turn, step)


def complete(turn: Turn) -> None:
    """The step is done: record it and open the next. Without its picture it is not done yet."""
    if turn.step.picture and turn.step.id not in turn.state.pictured.values():
        turn.go(PictureOwed())
        turn.say("picture_owed", tone="ask", text=turn.step.picture)
        return
    kind_of(turn.step).completed(turn, turn.step)
    record_done(turn)
    open_next(turn)


def record_done(turn: Turn) -> None:
    """The step is done: record it."""
    turn.record(StepDone(step=turn.step.id, how="done"))
    adjusting.forget(turn, turn.step)
    turn.put(outcomes={**turn.state.outcomes, turn.step.id: "done"})


def skip(turn: Turn, reason: str) -> None:
    """Leave the step out for a reason that the record keeps."""
    if disposing.still_held(turn):
        return
    step = turn.step
    kind_of(step).taken_back(turn, step)
    # A value computed for the step but never confirmed must not be computed with either.
    turn.put(
        derived=_without(turn.state.derived, {step.id}),
        derived_at=_without(turn.state.derived_at, {step.id}),
        fitted=_without(turn.state.fitted, {step.id}),
        released=_without(turn.state.released, {step.id}),
    )
    part_way = kind_of(step).part_way(turn, step, reason)
    turn.record(StepDone(step=step.id, how="skipped", reason=reason, part_way=part_way))
    turn.put(outcomes={**turn.state.outcomes, step.id: "skipped"})
    turn.say("skipped", title=step.title)
    if part_way:
        turn.put(part_way=turn.state.part_way | {step.id})
        turn.say("skipped_part_way", tone="caution")
    open_next(turn)


def go_back(turn: Turn) -> None:
    """Go back to the step before; ask first when that voids recorded work."""
    stops = stopped_at(turn)
    if not stops:
        turn.say("nothing_before")
        return
    before = stops[-1]
    since = turn.state.history[turn.state.history.index(before) :]
    voided = [turn.context.procedure.step(s) for s in since]
    if all(kind_of(s).going_back_loses_nothing for s in voided):
        rewind(turn, before)
        return
    ask_back(turn, before)


def ask_back(turn: Turn, to: str) -> None:
    """Ask whether to go back to step ``to``, which takes back what was recorded since."""
    turn.go(GoingBack(to, turn.state.awaiting))
    turn.say("go_back_ask", tone="ask", title=turn.context.procedure.step(to).title)


def rewind(turn: Turn, to: str, why: Literal["reopened", "adjusted"] = "reopened") -> None:
    """Reopen every step from ``to`` on; what they recorded is superseded, never erased."""
    index = max(i for i, s in enumerate(turn.state.history) if s == to)
    for step_id in reversed(turn.state.history[index:]):
        turn.put(step=step_id)
        kind_of(turn.step).taken_back(turn, turn.step, why)
        turn.not_owed(about(step_id, ""))
        turn.not_owed_at(step_id)
        turn.record(StepReopened(step=step_id, why=why))
    gone = set(turn.state.history[index:])
    state = turn.state
    turn.put(
        history=state.history[:index],
        outcomes=_without(state.outcomes, gone),
        derived=_without(state.derived, gone),
        derived_at=_without(state.derived_at, gone),
        fitted=_without(state.fitted, gone),  # back in the box
        choices=_without(state.choices, gone),
        identified=_without(state.identified, gone),
        pictured={file: s for file, s in state.pictured.items() if s not in gone},
        waits=_without(state.waits, gone),
        wait_ends=_without(state.wait_ends, gone),
        released=_without(state.released, gone),
        part_way=state.part_way - gone,
    )
    # A step that was left out because of an answer now taken back is open again.
    outcomes = turn.state.outcomes
    again = {
        s.id
        for s in turn.context.procedure.steps
        if outcomes.get(s.id) == "not_applicable"
        and applies(s, turn.state, turn.context.procedure) is not False
    }
    turn.put(outcomes=_without(outcomes, again))
    open_next(turn)


def _without(mapping: Mapping[str, _V], gone: set[str]) -> dict[str, _V]:
    return {key: value for key, value in mapping.items() if key not in gone}


def end_wait(turn: Turn, step_id: str) -> None:
    """A timer went off: believe it only when the time has really come."""
    if step_id not in turn.state.waits:
        return
    if waiting.left(turn, step_id) > timedelta():
        waiting.set_timer(turn, step_id)
        return
    step = turn.context.procedure.step(step_id)
    if kind_of(step).timer_elapsed(turn, step):
        return
    _wait_over(turn, step)
    if isinstance(turn.state.awaiting, Waiting):
        open_next(turn)


def end_waits(turn: Turn) -> None:
    """End the waits that ran out while nobody was here. Rows and times of work ring by themselves.

    What waited for them is opened when the work is taken up.
    """
    for step in map(turn.context.procedure.step, tuple(turn.state.waits)):
        if not kind_of(step).wait_is_part_of_work and waiting.left(turn, step.id) <= timedelta():
            _wait_over(turn, step)


def _wait_over(turn: Turn, step: Step) -> None:
    turn.record(WaitOver(step=step.id))
    waiting.over(turn, step.id)
    turn.say("wait_over", tone="caution", title=step.title)
