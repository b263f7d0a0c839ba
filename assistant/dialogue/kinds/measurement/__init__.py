"""Measurement: a reading at one or more positions, read back and judged against limits."""

from __future__ import annotations

from dataclasses import replace
from typing import assert_never

from assistant.dialogue import tooling
from assistant.dialogue.context import Context
from assistant.dialogue.effects import about
from assistant.dialogue.gauging import gauge_in_hand
from assistant.dialogue.kinds.judged import JudgedKind
from assistant.dialogue.kinds.measurement import correcting, measuring, readback, stand_in, values
from assistant.dialogue.kinds.measurement.combining import measured
from assistant.dialogue.kinds.measurement.facts import (
    ReadingConfirmed,
    ReadingOffered,
    ReadingSuperseded,
)
from assistant.dialogue.kinds.measurement.spoken import number_spec
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import Answers, StandIn
from assistant.dialogue.state import OutOfLimit, Review, State, Value
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Digits, NumberSpec, Phrase, Reading
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.models import Procedure
from assistant.quantities.propagation import Estimate
from assistant.quantities.tools import Need

_Own = Measuring | DigitCheck


class MeasurementDialogue(JudgedKind[MeasurementStep], StateOwner[_Own]):
    """Readings: nothing counts before the builder goes on behind its readback."""

    kind = "measurement"
    facts = (ReadingOffered, ReadingConfirmed, ReadingSuperseded)
    states = (Measuring, DigitCheck)
    measures = True

    def begin(self, turn: Turn, step: MeasurementStep) -> None:
        """Say what to measure with what, and await the first reading."""
        turn.say_text(step.say)
        readback.say_gauge(turn)
        if len(step.places) > 1:
            turn.say("measure_places", count=len(step.places))
        measuring.ask_next(turn)

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """A reading in the units of the gauge in hand, or the digits of the one in doubt."""
        match at:
            case Measuring():
                assert state.step is not None
                step = context.procedure.step(state.step)
                assert isinstance(step, MeasurementStep)
                gauge = gauge_in_hand(context.procedure, state, step.gauge)
                return MayBeSaid(
                    ("correction", "remeasure", "wrong"),
                    phrases=tuple((p, p) for p in step.positions),
                    reading=number_spec(context.procedure, step, gauge),
                    go_back=True,
                    skip=True,
                )
            case DigitCheck():
                return MayBeSaid(("wrong", "correction"), digits=True)
            case _:
                assert_never(at)

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
                measuring.hear_reading(turn, at, reading, said.heard, said.doubt)
            case Command(id="correction" | "wrong") if at.evidence:
                correcting.drop_evidence(turn, at.index)
            case _:
                return self._correct(turn, turn.step_as(MeasurementStep), said)
        return True

    def _checked(self, turn: Turn, at: DigitCheck, said: Said) -> bool:
        match said.meaning:
            case Digits() as digits:
                measuring.hear_digits(turn, at, digits)
            case Command(id="wrong" | "correction"):
                measuring.drop_doubted(turn, at)
            case _:
                return False
        return True

    def _correct(self, turn: Turn, step: MeasurementStep, said: Said) -> bool:
        match said.meaning:
            case Phrase(id=name):
                index = step.places.index(name)
                if name in values.values_of(turn):
                    correcting.correct(turn, index)
                elif not tooling.blocked_meanwhile(turn):
                    measuring.ask_position(turn, index)
            case Command(id="correction" | "wrong"):
                correcting.correct(turn)
            case Command(id="remeasure"):
                correcting.remeasure(turn)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: _Own) -> None:
        """Say gauge and position again, and what the blades tried tell; or ask for the digits."""
        match at:
            case Measuring(index=index, evidence=evidence):
                readback.say_gauge(turn)
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
            name = turn.step_as(MeasurementStep).places[at.index]
            if name:
                turn.say("measure_position", position=name)

    def taken_up(self, turn: Turn, at: _Own) -> None:
        """Look at the gauge first: its calibration may have run out."""
        if not tooling.blocked(turn):
            self.ask_again(turn, at)

    def next_line(self, builder: StandIn, at: _Own) -> str:
        """The reading that the answers have, or its digits where it was heard right."""
        match at:
            case Measuring(index=index, evidence=evidence):
                phrases = stand_in.spoken(builder, index)
                return phrases[min(len(evidence), len(phrases) - 1)]
            case DigitCheck():
                return stand_in.digits(builder, at)
            case _:
                assert_never(at)

    def review_allows(self, context: Context, state: State, step: MeasurementStep) -> MayBeSaid:
        """Another reading, or a position by name, beside the commands."""
        return replace(
            super().review_allows(context, state, step),
            phrases=tuple((p, p) for p in step.positions),
            reading=number_spec(context.procedure, step),
        )

    def answer_review(self, turn: Turn, step: MeasurementStep, at: Review, said: Said) -> bool:
        """Another reading in place of the last, or a correction."""
        if isinstance(said.meaning, Reading):
            self._read_instead(turn, at, said.meaning, said)
            return True
        return self._correct(turn, step, said)

    def answer_out(self, turn: Turn, step: MeasurementStep, at: OutOfLimit, said: Said) -> bool:
        """Another reading in place of the one out of limits, or the place measured again."""
        match said.meaning:
            case Reading() as reading:
                self._read_instead(turn, at, reading, said)
            case Command(id="correction" | "wrong" | "remeasure"):
                correcting.correct(turn, at.index)
            case _:
                return False
        return True

    def _read_instead(
        self, turn: Turn, at: Review | OutOfLimit, reading: Reading, said: Said
    ) -> None:
        awaited = correcting.replaced(turn, at)
        if not tooling.blocked_meanwhile(turn):
            measuring.hear_reading(turn, awaited, reading, said.heard, said.doubt)

    def reading_when_out(self, context: Context, state: State, step: MeasurementStep) -> NumberSpec:
        """A reading with the gauge called for."""
        return number_spec(context.procedure, step)

    def confirmed(self, turn: Turn, step: MeasurementStep) -> None:
        """The readings count."""
        values.confirm_all(turn)

    def say_review(self, turn: Turn, step: MeasurementStep) -> None:
        """Ask to go on, or to correct."""
        turn.say("review_measurement" if len(step.places) == 1 else "review_measurements")

    def position(self, step: MeasurementStep, index: int) -> str:
        """The name of a position."""
        return step.places[index]

    def index(self, step: MeasurementStep, position: str) -> int:
        """The index of a position."""
        return step.places.index(position)

    def say_value_at(self, turn: Turn, step: MeasurementStep, position: str) -> None:
        """Read back the value at a position."""
        readback.say_value(turn, position)

    def part_changed(self, turn: Turn, step: MeasurementStep, index: int) -> None:
        """Measure there again."""
        correcting.correct(turn, index)

    def value_stands(self, turn: Turn, step: MeasurementStep) -> None:
        """On to the next position."""
        measuring.ask_next(turn)

    def obstacle(self, turn: Turn, step: MeasurementStep) -> str | None:
        """The gauge in hand; for guarded limits its uncertainty must be known."""
        procedure = turn.context.procedure
        need = Need.of_limits(procedure.gauge(step.gauge).kind, step.limits)
        why = tooling.checked(turn, step.gauge, need)
        if why is not None or step.rule != "guarded" or step.limits.none:
            return why
        gauge = gauge_in_hand(procedure, turn.state, step.gauge)
        known = gauge.uncertainty is not None
        return None if known else turn.words("guard_unknown", name=gauge.name)

    def taken_back(self, turn: Turn, step: MeasurementStep) -> None:
        """The readings no longer count."""
        for name in list(values.values_of(turn)):
            values.supersede(turn, name, "reopened")

    def estimate(
        self, procedure: Procedure, state: State, step: MeasurementStep, combine: str
    ) -> Estimate | None:
        """The readings combined; None where there is one missing, or a bound among them."""
        return measured(state, step, combine)

    def say_standing(self, turn: Turn, step: MeasurementStep) -> None:
        """Read back the readings that do not count yet."""
        for name in values.values_of(turn):
            readback.say_value(turn, name)

    def say_limit(self, turn: Turn, step: MeasurementStep) -> None:
        """The limits, in the unit of the gauge in hand."""
        turn.say("limit", quantity=step.quantity, limits=readback.say_limits(turn, step))

    def say_digits(self, turn: Turn, step: MeasurementStep) -> None:
        """The digits of the reading said last; of one in doubt they are asked for instead.

        The digits of an earlier value must not be taken for those that are asked for.
        """
        if isinstance(turn.state.awaiting, DigitCheck):
            measuring.say_digit_question(turn)
            return
        have = values.values_of(turn)
        if not have:
            turn.say("nothing_to_correct")
            return
        position, value = list(have.items())[-1]
        language = turn.context.language
        turn.say(
            "digits_of_last",
            tone="readback",
            about=about(step.id, position),
            position=position,
            value=language.say_indication(value.indication),
            digits=language.say_digits(value.indication.amount.number()),
        )

    def in_words(self, context: Context, state: State, step: MeasurementStep, value: Value) -> str:
        """A reading, in the unit of the gauge in hand."""
        return readback.in_words(context, state, step, value.indication)

    def all_as_meant(self, builder: StandIn, step: MeasurementStep) -> bool:
        """Whether every reading was heard as it was meant."""
        return all(stand_in.as_meant(builder, step, i) for i in range(len(step.places)))

    def as_meant(self, builder: StandIn, step: MeasurementStep, index: int) -> bool:
        """Whether a reading was heard as it was meant."""
        return stand_in.as_meant(builder, step, index)

    def rehearsed(self, context: Context, step: MeasurementStep, answers: Answers) -> Answers:
        """The middle of the limits, at every position."""
        language = context.language
        middle = language.say_amount(stand_in.middle(context.procedure, step))
        phrase = language.prompt("reading_phrase", value=middle)
        readings = {**answers.readings, step.id: dict.fromkeys(step.places, phrase)}
        return replace(answers, readings=readings)
