"""Faults put into the dialogue by hand: the walk must catch each, or it watches nothing.

A fault is a function that takes a piece of the dialogue's conscience out, and the rules one of
which has to notice.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import wraps
from typing import Any

import pytest

from assistant.dialogue import (
    adjusting,
    core,
    disposing,
    interrupting,
    order,
    people,
    resuming,
    steps,
    tooling,
)
from assistant.dialogue.gauging import in_gauge_unit
from assistant.dialogue.kinds import identification, inspection
from assistant.dialogue.kinds.derived import deriving
from assistant.dialogue.kinds.log import taking
from assistant.dialogue.kinds.measurement import (
    MeasurementDialogue,
    bracketing,
    limits_now,
    measuring,
    readback,
)
from assistant.dialogue.kinds.shims import choosing, filling
from assistant.dialogue.kinds.shims.box import stock_left
from assistant.dialogue.kinds.tightening import (
    announcing,
    pass_done,
    passes,
    turned,
    working,
    wrench_setting,
)
from assistant.dialogue.kinds.tightening.facts import FastenerReopened
from assistant.dialogue.kinds.tightening.states import PassAsked, Tightening, TorqueAcknowledge
from assistant.dialogue.states import Review
from assistant.dialogue.turn import Turn
from assistant.language.trust import Act, Ask, understand
from assistant.procedure.kinds.tightening.stages import target_of
from assistant.procedure.kinds.wait import WaitStep
from assistant.quantities.amount import Amount
from assistant.quantities.formula import estimate
from assistant.quantities.limits import Judgement, judge
from assistant.quantities.shims import choose_shims
from tests.safety import invariants as rules
from tests.safety.invariants import Rule
from tests.safety.place_rules import a_place_is_not_heard_as_part_of_its_value
from tests.safety.reason_rules import a_value_is_released_only_once_its_reason_was_heard
from tests.safety.stage_rules import (
    a_check_is_over_only_when_nothing_moved,
    a_left_hand_thread_is_said_to_be_one_before_it_is_turned,
    a_turn_never_announces_a_torque,
    a_whole_pass_is_done_only_after_it_was_named_and_confirmed,
)
from tests.safety.unit_rules import a_reading_that_counts_is_the_one_that_was_said
from tests.safety.value_rules import (
    a_computed_value_is_what_its_readings_give,
    a_strip_lies_between_the_bars_that_were_said,
    shims_that_come_out_are_those_that_were_measured,
)

Patch = pytest.MonkeyPatch


@dataclass(frozen=True)
class Fault:
    """``put`` puts it in; one of ``caught_by`` must notice, in jobs of ``pieces`` where given."""

    put: Callable[[Patch], None]
    caught_by: tuple[Rule, ...]
    pieces: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """What is wrong, in words."""
        return self.put.__name__.replace("_", " ")


FAULTS: list[Fault] = []


def fault(
    *caught_by: Rule, pieces: tuple[str, ...] = ()
) -> Callable[[Callable[[Patch], None]], Callable[[Patch], None]]:
    """Enter a fault in the list."""

    def enter(put: Callable[[Patch], None]) -> Callable[[Patch], None]:
        FAULTS.append(Fault(put, caught_by, pieces))
        return put

    return enter


@fault(rules.nothing_out_of_limit_is_left_behind_without_a_release)
def a_value_out_of_limits_does_not_hold(patch: Patch) -> None:
    patch.setattr(measuring, "_released", lambda *_: True)


@fault(a_value_is_released_only_once_its_reason_was_heard)
def the_reason_is_kept_from_whoever_releases(patch: Patch) -> None:
    patch.setattr(disposing, "say_why", lambda *_, **__: None)


@fault(a_value_is_released_only_once_its_reason_was_heard)
def a_recorded_reason_is_told_of_and_not_played(patch: Patch) -> None:
    original = disposing.say_why
    patch.setattr(
        disposing, "say_why",
        lambda turn, key, why, **more: original(turn, key, replace(why, clip=None), **more),
    )  # fmt: skip


@fault(a_place_is_not_heard_as_part_of_its_value)
def a_place_runs_into_its_value(patch: Patch) -> None:
    for room in (readback, deriving):
        patch.setattr(room, "before_value", lambda turn, label, in_short=False: label)


@fault(rules.no_fastener_before_its_torque_was_heard_and_understood)
def the_torque_is_not_said(patch: Patch) -> None:
    patch.setattr(passes, "say_announcement", lambda *_: None)


@fault(rules.no_fastener_before_its_torque_was_heard_and_understood)
def the_torque_counts_as_understood(patch: Patch) -> None:
    announce = passes.announce

    def at_once(turn: Turn) -> None:
        announce(turn)
        if isinstance(turn.state.awaiting, TorqueAcknowledge):
            turn.go(Tightening(turn.state.awaiting.pass_index, turn.state.awaiting.turn))

    patch.setattr(passes, "announce", at_once)


@fault(
    rules.the_torque_tightened_is_the_one_announced,
    rules.no_fastener_before_its_torque_was_heard_and_understood,
)
def another_torque_is_said_than_is_recorded(patch: Patch) -> None:
    told = wrench_setting.pass_torque

    def double(*given: Any) -> Any:
        torque = told(*given)
        return None if torque is None else replace(torque, value=torque.value * 2)

    patch.setattr(announcing, "pass_torque", double)
    patch.setattr(wrench_setting, "pass_torque", double)


@fault(
    rules.the_torque_tightened_is_the_one_announced,
    rules.no_fastener_before_its_torque_was_heard_and_understood,
)
def another_bench_is_not_announced(patch: Patch) -> None:
    patch.setattr(passes, "other_bench", lambda _: None)
    patch.setattr(passes, "set_otherwise", lambda _: False)


@fault(rules.no_fastener_twice_in_a_pass_unless_reopened)
def a_missed_fastener_is_not_reopened(patch: Patch) -> None:
    record = Turn.record

    def forgetful(turn: Turn, fact: Any) -> None:
        if not isinstance(fact, FastenerReopened):
            record(turn, fact)

    patch.setattr(Turn, "record", forgetful)


@fault(rules.no_tightening_is_done_incomplete)
def the_last_fastener_is_left_out(patch: Patch) -> None:
    tightened = working.tightened

    def hasty(turn: Turn, moment: Tightening) -> None:
        tightened(turn, moment)
        now, step = turn.state.awaiting, wrench_setting.tightening(turn)
        if isinstance(now, Tightening) and now.turn == len(step.fasteners) - 1:
            turn.go(Review(turn.state.tightened[-1].torque))

    patch.setattr(working, "tightened", hasty)


@fault(rules.a_turned_bolt_is_turned_again_only_when_the_builder_says_it_was_missed)
def a_turned_bolt_is_forgotten(patch: Patch) -> None:
    patch.setattr(turned, "on", lambda _: ())


@fault(
    rules.the_torque_tightened_is_the_one_announced,
    rules.no_fastener_before_its_torque_was_heard_and_understood,
)
def another_turn_is_said_than_is_recorded(patch: Patch) -> None:
    patch.setattr(announcing, "turn_in", lambda *_: Amount(Fraction(30), "deg"))


@fault(a_turn_never_announces_a_torque)
def a_turn_is_announced_with_the_torque_before_it(patch: Patch) -> None:
    told = announcing._turn_announcement

    def with_torque(turn: Turn, step: Any, index: int) -> str:
        before = turn.context.language.say_amount(target_of(step), digits=True)
        return f"Set it to {before}. {told(turn, step, index)}"

    patch.setattr(announcing, "_turn_announcement", with_torque)


@fault(a_check_is_over_only_when_nothing_moved)
def a_fastener_that_moved_is_let_pass(patch: Patch) -> None:
    def not_repeated(turn: Turn, index: int) -> None:
        turn.put(tightened=tuple(replace(t, moved=False) for t in turn.state.tightened))
        ended(turn, index)

    ended = working.pass_ended
    patch.setattr(working, "pass_ended", not_repeated)


@fault(a_whole_pass_is_done_only_after_it_was_named_and_confirmed)
def a_whole_pass_is_done_unasked(patch: Patch) -> None:
    def at_once(turn: Turn, at: Tightening) -> None:
        pass_done.confirmed(turn, PassAsked(at.pass_index, at.turn))

    patch.setattr(pass_done, "ask", at_once)


@fault(a_left_hand_thread_is_said_to_be_one_before_it_is_turned)
def a_left_hand_thread_goes_without_saying(patch: Patch) -> None:
    patch.setattr(announcing, "_hand", lambda *_: "")


@fault(
    rules.no_reading_counts_that_was_not_read_back_to_its_end,
    rules.cautions_are_heard_and_acknowledged,
    rules.no_fastener_before_its_torque_was_heard_and_understood,
)
def what_was_cut_short_counts_as_said(patch: Patch) -> None:
    patch.setattr(interrupting, "held_back", lambda *_: False)


@fault(rules.no_reading_counts_that_was_not_read_back_to_its_end)
def a_reading_is_not_read_back(patch: Patch) -> None:
    patch.setattr(readback, "say_value", lambda *_: None)


@fault(rules.no_reading_counts_that_was_not_read_back_to_its_end)
def what_the_power_cut_is_not_said_again(patch: Patch) -> None:
    patch.setattr(resuming, "say_standing", lambda _: None)


@fault(rules.the_verdict_is_what_the_figures_give)
def the_limits_are_wider_by_a_little(patch: Patch) -> None:
    def lenient(*given: Any) -> Judgement:
        found = judge(*given)
        near = found.margin is not None and abs(found.margin.value) < 1
        return replace(found, verdict="in") if near else found

    patch.setattr(measuring, "judge", lenient)


@fault(a_reading_that_counts_is_the_one_that_was_said)
def a_unit_is_converted_wrongly(patch: Patch) -> None:
    right = in_gauge_unit

    def tenfold(*given: Any) -> Any:
        one = right(*given)
        if one.said is None:
            return one
        return replace(one, amount=replace(one.amount, value=one.amount.value * 10))

    patch.setattr(measuring, "in_gauge_unit", tenfold)


@fault(a_reading_that_counts_is_the_one_that_was_said)
def a_unit_is_taken_for_that_of_the_gauge(patch: Patch) -> None:
    def as_if_in(gauge: Any, heard: Any) -> Any:
        return replace(heard, amount=replace(heard.amount, unit=gauge.unit))

    patch.setattr(measuring, "in_gauge_unit", as_if_in)


@fault(a_reading_that_counts_is_the_one_that_was_said)
def a_converted_value_is_read_back_without_what_was_said(patch: Patch) -> None:
    in_words = readback.in_words

    def silent(context: Any, state: Any, step: Any, indication: Any) -> Any:
        return in_words(context, state, step, replace(indication, said=None))

    patch.setattr(readback, "in_words", silent)


@fault(rules.a_value_for_each_place_is_that_of_its_place, pieces=("places",))
def every_place_has_the_value_of_the_first(patch: Patch) -> None:
    inputs_of = deriving.inputs_of

    def first(procedure: Any, state: Any, step: Any, place: str = "") -> Any:
        return inputs_of(procedure, state, step, step.places_in(procedure)[0])

    patch.setattr(deriving, "inputs_of", first)


@fault(
    rules.an_adjustment_is_of_a_value_out_of_limits_and_they_have_an_end,
    pieces=("backlash", "backlash"),
)
def adjustments_have_no_end(patch: Patch) -> None:
    patch.setattr(adjusting, "used_up", lambda *_: False)


@fault(rules.what_was_adjusted_is_measured_again, pieces=("backlash", "backlash"))
def an_adjustment_is_taken_to_move_one_place(patch: Patch) -> None:
    measure_again = MeasurementDialogue.measure_again

    def one(kind: Any, turn: Turn, step: Any, index: int) -> None:
        measure_again(kind, turn, step.model_copy(update={"measure_again": "place"}), index)

    patch.setattr(MeasurementDialogue, "measure_again", one)


@fault(rules.a_release_is_by_another_person_who_was_read_back)
def the_builder_may_release(patch: Patch) -> None:
    def anyone(turn: Turn, initials: str) -> str:
        return next(p.name for p in turn.state.people if p.initials == initials)

    patch.setattr(people, "name_of_another", anyone)


@fault(rules.a_hold_point_is_passed_only_by_acceptance)
def a_refusal_lets_the_work_go_on(patch: Patch) -> None:
    inspected = inspection.inspected

    def deaf(turn: Turn, person: str, accepted: bool) -> None:
        inspected(turn, person, accepted)
        if not accepted:
            steps.complete(turn)

    patch.setattr(inspection, "inspected", deaf)


@fault(rules.cautions_are_heard_and_acknowledged)
def only_the_first_caution_is_read(patch: Patch) -> None:
    cautions_of = steps.cautions_of
    patch.setattr(steps, "cautions_of", lambda step: cautions_of(step)[:1])


@fault(rules.nothing_is_done_by_a_refused_tool)
def a_refused_tool_is_used(patch: Patch) -> None:
    obstacle = tooling.obstacle

    def shrug(turn: Turn) -> None:
        obstacle(turn)

    patch.setattr(tooling, "obstacle", shrug)


@fault(rules.a_stack_of_shims_is_heard_adds_up_and_is_in_the_box)
def the_box_of_shims_has_no_bottom(patch: Patch) -> None:
    stock = stock_left

    def more(*given: Any) -> Any:
        return [replace(s, count=s.count + 3) for s in stock(*given)]

    patch.setattr(choosing, "stock_left", more)


@fault(rules.steps_keep_their_order)
def steps_do_not_wait_for_a_cure(patch: Patch) -> None:
    def hurried(procedure: Any, state: Any) -> Any:
        still = replace(state, waits={})
        return next(
            (s for s in procedure.steps if s.id not in state.outcomes
             and order.applies(s, still, procedure) and not isinstance(s, WaitStep)),
            original(procedure, state),
        )  # fmt: skip

    original = order.next_step
    patch.setattr(steps, "next_step", hurried)


@fault(rules.nothing_moves_on_a_doubtful_word)
def every_word_is_trusted(patch: Patch) -> None:
    @wraps(understand)
    def trusting(policy: Any, *rest: Any) -> Any:
        return understand(replace(policy, reject=0.0, advance=0.0), *rest)

    patch.setattr(core, "understand", trusting)


@fault(rules.a_doubted_reading_counts_only_by_its_digits)
def a_doubted_reading_is_taken_as_it_is(patch: Patch) -> None:
    def sure(*given: Any) -> Any:
        found = understand(*given)
        return Act(found.meaning) if isinstance(found, Ask) else found

    patch.setattr(core, "understand", sure)


@fault(rules.answers_are_read_back_before_they_count)
def a_spelled_number_counts_at_once(patch: Patch) -> None:
    patch.setattr(identification, "hear_spelling", identification.identified)


@fault(
    rules.values_come_only_from_values_that_count,
    rules.a_step_is_done_once,
    rules.work_is_finished_only_when_every_step_is,
)
def going_back_takes_nothing_back(patch: Patch) -> None:
    patch.setattr(steps, "_without", lambda mapping, _: dict(mapping))


@fault(rules.what_resumes_is_what_was)
def the_state_depends_on_chance(patch: Patch) -> None:
    chance = random.Random(1)
    complete = steps.complete

    def fickle(turn: Turn) -> None:
        turn.put(job=f"KB2-{chance.random()}")
        complete(turn)

    patch.setattr(steps, "complete", fickle)


@fault(a_computed_value_is_what_its_readings_give, pieces=("heat",))
def the_heat_for_a_ring_forgets_the_room(patch: Patch) -> None:
    original = estimate
    patch.setattr(
        deriving, "estimate",
        lambda formula, *rest: original(formula.replace("room + ", "'0 degC' + "), *rest),
    )  # fmt: skip


@fault(rules.the_verdict_is_what_the_figures_give, pieces=("heat",))
def limits_around_a_value_are_taken_as_they_are_written(patch: Patch) -> None:
    patch.setattr(limits_now, "target_of", lambda *_: None)


@fault(rules.a_stack_of_shims_is_heard_adds_up_and_is_in_the_box, pieces=("pair",))
def both_sides_of_a_pair_take_the_same_shims(patch: Patch) -> None:
    def each_by_itself(one: Any, other: Any, stock: Any) -> Any:
        return tuple(choose_shims(side.gap, side.limits, stock) for side in (one, other))

    patch.setattr(choosing, "choose_pair", each_by_itself)


@fault(a_strip_lies_between_the_bars_that_were_said, pieces=("strip",))
def a_strip_is_taken_for_one_bar_thicker(patch: Patch) -> None:
    pairs = bracketing._pairs

    def moved(*given: Any) -> Any:
        found = pairs(*given)
        return found[1:] + found[-1:]

    original = bracketing.bracket

    def thicker(context: Any, state: Any, step: Any, name: str) -> Any:
        with pytest.MonkeyPatch.context() as inner:
            inner.setattr(bracketing, "_pairs", moved)
            return original(context, state, step, name)

    patch.setattr(bracketing, "bracket", thicker)


@fault(shims_that_come_out_are_those_that_were_measured, pieces=("reshim",))
def half_of_the_shims_that_come_out_are_forgotten(patch: Patch) -> None:
    original = filling.old_shims

    def half(*given: Any) -> Any:
        found = original(*given)
        if found is None:
            return None
        return replace(found, amount=replace(found.amount, value=found.amount.value / 2))

    for where in (choosing, filling):
        patch.setattr(where, "old_shims", half)


@fault(a_computed_value_is_what_its_readings_give, pieces=("rise",))
def the_rise_of_a_log_is_turned_round(patch: Patch) -> None:
    original = taking._difference
    patch.setattr(taking, "_difference", lambda one, other: original(other, one))


@fault(a_computed_value_is_what_its_readings_give, pieces=("rise",))
def the_last_row_of_a_log_does_not_count(patch: Patch) -> None:
    original = taking._read
    patch.setattr(taking, "_read", lambda *given: original(*given)[:-1])
