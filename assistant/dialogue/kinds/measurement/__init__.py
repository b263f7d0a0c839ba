"""Measurement: a reading at one or more positions, read back and judged against limits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import assert_never

from assistant.dialogue import tooling
from assistant.dialogue.context import Context
from assistant.dialogue.edition import LOOKS_AGAIN
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.kinds.measurement import (
    blades,
    bracketing,
    correcting,
    measuring,
    readback,
    stand_in,
    values,
)
from assistant.dialogue.kinds.measurement.combining import measured
from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.dialogue.kinds.measurement.judging import JudgedReadings
from assistant.dialogue.kinds.measurement.limits_now import guard_of, target_of, with_limits
from assistant.dialogue.kinds.measurement.plausible import at_places
from assistant.dialogue.kinds.measurement.spoken import number_spec
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import Answers, StandIn
from assistant.dialogue.state import State, Value
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Digits, NumberSpec, Phrase, Reading
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.models import Procedure
from assistant.procedure.places import reference
from assistant.procedure.step import ReadStep
from assistant.quantities.problem import problem
from assistant.quantities.propagation import Estimate
from assistant.quantities.tools import Need

_Own = Measuring | DigitCheck


class MeasurementDialogue(JudgedReadings[MeasurementStep], StateOwner[_Own]):
    """Readings: nothing counts before the builder goes on behind its readback."""

    kind = "measurement"
    facts = (ReadingOffered, ReadingConfirmed, ReadingSuperseded)
    states = (Measuring, DigitCheck)  # of every step that is read out

    def begin(self, turn: Turn, step: MeasurementStep) -> None:
        """Say what to measure with what, and await the first reading."""
        turn.say_text(step.say)
        readback.say_gauge(turn, step.places[0])
        blades.teach(turn, step)
        if len(step.places) > 1:
            turn.show("measure_places", count=len(step.places))
        measuring.ask_next(turn)

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """A reading in the units of the gauge in hand, or the digits of one that was asked for."""
        match at:
            case Measuring():
                assert state.step is not None
                step = context.procedure.step(state.step)
                assert isinstance(step, ReadStep)
                place = step.at(step.places[at.index])
                return MayBeSaid(
                    ("correction", "remeasure", "wrong"),
                    phrases=step.phrases(values.row_of(state, step)),
                    spoken_values=bracketing.brackets(context, state, place),
                    reading=number_spec(context, state, place),
                    go_back=True,
                    skip=True,
                )
            case DigitCheck():
                return MayBeSaid(("wrong", "correction"), digits=True)
            case _:
                assert_never(at)

    def not_offered(self, context: Context, state: State, at: _Own) -> tuple[str, ...]:
        """What blades do, where a later step counts with a single value."""
        assert state.step is not None
        single = blades.single_needed(context.procedure, context.procedure.step(state.step))
        return ("blades",) if single else ()

    def answer(self, turn: Turn, at: _Own, said: Said) -> bool:
        """A reading or its digits; a position by name; what is taken back."""
        match at:
            case Measuring():
                return self._read(turn, at, said)
            case DigitCheck():
                return self._checked(turn, at, said)
            case _:
                assert_never(at)

    def _read(self, turn: Turn, at: Measuring, said: Said) -> bool:
        match said.meaning:
            case Reading() as reading:
                measuring.hear_reading(turn, at, reading, said.heard, said.why_asked)
            case Phrase(id=name) if (pair := self._bracket(turn, at, name)) is not None:
                measuring.hear_reading(turn, at, pair, said.heard, why="")
            case Command(id="correction" | "wrong") if at.evidence:
                correcting.drop_evidence(turn, at.index)
            case _:
                return self.correct(turn, values.read_step(turn), said)
        return True

    def _bracket(self, turn: Turn, at: Measuring, name: str) -> Reading | None:
        step = values.read_step(turn)
        place = step.at(step.places[at.index])
        return bracketing.bracket(turn.context, turn.state, place, name)

    def _checked(self, turn: Turn, at: DigitCheck, said: Said) -> bool:
        match said.meaning:
            case Digits() as digits:
                measuring.hear_digits(turn, at, digits)
            case Command(id="wrong" | "correction"):
                measuring.drop_doubted(turn, at)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: _Own) -> None:
        """Say gauge and position again, and what the blades tried tell; or ask for the digits."""
        match at:
            case Measuring(index=index, evidence=evidence):
                readback.say_gauge(turn, values.read_step(turn).places[index], again=True)
                self.say_place(turn, at)
                if evidence:
                    readback.say_undecided(turn, index, evidence)
            case DigitCheck():
                measuring.say_digit_question(turn)
            case _:
                assert_never(at)

    def say_place(self, turn: Turn, at: _Own) -> None:
        """The position that is read next."""
        if isinstance(at, Measuring):
            measuring.say_place(turn, at.index)

    def resumed(self, turn: Turn, at: _Own) -> None:
        """Look at the gauge first: its calibration may have run out.

        What another one showed in doubt, or in part, is read again.
        """
        step = values.read_step(turn)
        gauge = step.at(step.places[at.index]).gauge
        before = turn.state.looked_at.get(gauge)
        if tooling.blocked(turn):
            return
        if turn.state.edition >= LOOKS_AGAIN and turn.state.looked_at.get(gauge) != before:
            at = Measuring(at.index)
            turn.go(at)
        self.ask_again(turn, at)

    def next_line(self, builder: StandIn, at: _Own) -> str:
        """The reading that the answers have, or its digits where it was heard right."""
        match at:
            case Measuring(index=index, evidence=evidence):
                return stand_in.reading(builder, index, evidence)
            case DigitCheck():
                return stand_in.digits(builder, at)
            case _:
                assert_never(at)

    def obstacle(self, turn: Turn, step: MeasurementStep) -> str | None:
        """The gauge in hand; for guarded limits its uncertainty must be known."""
        procedure = turn.context.procedure
        if step.around is not None and target_of(procedure, turn.state, step) is None:
            title = procedure.step(reference(step.around).step).title
            return turn.words("derived_missing", names=title)
        spread = guard_of(procedure, turn.state, step)
        if step.around is not None and step.rule == "guarded" and spread is None:
            return turn.words("guard_unknown_computed")
        step = with_limits(procedure, turn.state, step)
        low, high = step.lower, step.upper
        if low is not None and high is not None and low.value > high.to(low.unit).value:
            return turn.told(problem("zone_empty", uncertainty=spread, lower=high, upper=low))
        need = Need.of_limits(procedure.gauge(step.gauge).kind, step.limits)
        why = tooling.checked(turn, step.gauge, need)
        if why is not None or step.rule != "guarded" or step.limits.none:
            return why
        gauge = gauge_in_hand(procedure, turn.state, step.gauge)
        known = gauge.uncertainty is not None
        return None if known else turn.words("guard_unknown", name=gauge.name)

    def estimate(
        self,
        procedure: Procedure,
        state: State,
        step: MeasurementStep,
        combine: str,
        places: Sequence[str],
    ) -> Estimate | None:
        """The readings combined; None where there is one missing, or a bound among them."""
        return measured(state, step, combine, places)

    def reading_when_out(
        self, context: Context, state: State, step: MeasurementStep
    ) -> NumberSpec | None:
        """A reading with the gauge in hand; where one adjusts, the word for that comes first."""
        return None if step.adjustable else super().reading_when_out(context, state, step)

    def measure_again(self, turn: Turn, step: MeasurementStep, index: int) -> None:
        """All places, since an adjustment may move them all; or only the one, if it says so."""
        all_of_them = step.measure_again == "all"
        for name in list(values.values_of(turn)) if all_of_them else [step.places[index]]:
            values.supersede(turn, name, "adjusted")
        if not tooling.blocked_meanwhile(turn):
            measuring.ask_next(turn)

    def say_limit(self, turn: Turn, step: MeasurementStep) -> None:
        """The limits, in the unit of the gauge in hand."""
        turn.say("limit", quantity=step.quantity, limits=readback.say_limits(turn, step))

    def in_words(self, context: Context, state: State, step: MeasurementStep, value: Value) -> str:
        """A reading, in the unit of the gauge in hand."""
        return readback.in_words(context, state, step, value.indication)

    def rehearsed(self, context: Context, step: MeasurementStep, answers: Answers) -> Answers:
        """A plausible value at every position."""
        phrases = [""] * len(step.places)  # of limits around a value that is not known yet
        if step.around is None:
            phrases = [stand_in.said(context, v) for v in at_places(context.procedure, step)]
        read = dict(zip(step.places, phrases, strict=True))
        return replace(answers, readings={**answers.readings, step.id: read})
