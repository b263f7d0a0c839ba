"""Readings reviewed, out of limits, corrected and let stand."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal, TypeVar

from assistant.dialogue import tooling
from assistant.dialogue.context import Context
from assistant.dialogue.edition import LOOKS_AGAIN
from assistant.dialogue.effects import about
from assistant.dialogue.kinds.judged import JudgedKind
from assistant.dialogue.kinds.measurement import correcting, measuring, readback, stand_in, values
from assistant.dialogue.kinds.measurement.spoken import number_spec
from assistant.dialogue.kinds.measurement.states import DigitCheck
from assistant.dialogue.owner import MayBeSaid, Said
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State, Value
from assistant.dialogue.states import OutOfLimit, Review
from assistant.dialogue.turn import Turn
from assistant.dialogue.value_label import before_value
from assistant.language.spec import Command, NumberSpec, Phrase, Reading
from assistant.procedure.models import Procedure
from assistant.procedure.step import ReadStep

R = TypeVar("R", bound=ReadStep)


class JudgedReadings(JudgedKind[R]):
    """What is said of readings that were taken."""

    measures = True

    def correct(self, turn: Turn, step: ReadStep, said: Said) -> bool:
        """Take back a reading that is named, the last one, or all; returns whether it was asked."""
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

    def review_allows(self, context: Context, state: State, step: R) -> MayBeSaid:
        """Another reading, or a position by name, beside the commands."""
        return replace(
            super().review_allows(context, state, step),
            phrases=step.phrases(values.row_of(state, step)),
            reading=number_spec(context, state, step.at(_last_read(state, step))),
        )

    def answer_review(self, turn: Turn, step: R, at: Review, said: Said) -> bool:
        """Another reading in place of the last, or a correction."""
        if isinstance(said.meaning, Reading):
            self._read_instead(turn, at, said.meaning, said)
            return True
        return self.correct(turn, step, said)

    def answer_out(self, turn: Turn, step: R, at: OutOfLimit, said: Said) -> bool:
        """Another reading in place of the one out of limits, or the place measured again."""
        match said.meaning:
            case Reading() as reading:
                self._read_instead(turn, at, reading, said)
            case Command(id="correction" | "wrong" | "remeasure"):
                correcting.correct(turn, at.index)
            case _:
                return False
        return True

    def say_tool(self, turn: Turn, step: R) -> None:
        """Its name, and its unit where that is not the one called for."""
        gauges = {step.at(step.places[i]).gauge: step.places[i] for i in values.asked(turn)}
        for place in gauges.values():
            readback.say_gauge(turn, place, again=True)

    def _read_instead(
        self, turn: Turn, at: Review | OutOfLimit, reading: Reading, said: Said
    ) -> None:
        awaited = correcting.replaced(turn, at)
        newer = turn.state.edition >= LOOKS_AGAIN  # then that is seen to where it is heard
        if newer or not tooling.blocked_meanwhile(turn):
            measuring.hear_reading(turn, awaited, reading, said.heard, said.why_asked)

    def reading_when_out(self, context: Context, state: State, step: R) -> NumberSpec | None:
        """A reading with the gauge in hand."""
        at = state.awaiting
        assert isinstance(at, OutOfLimit)
        return number_spec(context, state, step.at(step.places[at.index]))

    def value_out(self, turn: Turn, step: R, position: str) -> Value:
        """As it was read, or as it holds the step after it was taken back."""
        have = values.values_of(turn)
        return have[position] if position in have else turn.state.held[step.id][position]

    def measure_again(self, turn: Turn, step: R, index: int) -> None:
        """The place that was out."""
        values.supersede(turn, step.places[index], "adjusted")
        measuring.ask_next(turn)

    def adjusted_next(self, builder: StandIn, step: R, index: int) -> bool:
        """Whether there is a reading for after the next adjustment."""
        return stand_in.another(builder, index)

    def confirmed(self, turn: Turn, step: R) -> None:
        """The readings count."""
        values.confirm_all(turn)

    def say_review(self, turn: Turn, step: R) -> None:
        """Ask to go on, or to correct."""
        measuring.say_review(turn)

    def position(self, procedure: Procedure, step: R, index: int) -> str:
        """The name of a position."""
        return step.places[index]

    def index(self, procedure: Procedure, step: R, position: str) -> int:
        """The index of a position."""
        return step.places.index(position)

    def say_value_at(self, turn: Turn, step: R, position: str) -> None:
        """Read back the value at a position."""
        readback.say_value(turn, position)

    def part_changed(self, turn: Turn, step: R, index: int) -> None:
        """Measure there again."""
        correcting.correct(turn, index)

    def value_stands(self, turn: Turn, step: R) -> None:
        """On to the next position, with a gauge that may still be used."""
        have = values.values_of(turn)
        unread = any(step.places[index] not in have for index in values.asked(turn))
        if not (unread and tooling.blocked_meanwhile(turn)):
            measuring.ask_next(turn)

    def put_right(self, builder: StandIn, step: R) -> str:
        """The first place whose value was not meant, as it is named; or a correction."""
        row = values.row_of(builder.state, step)
        for index in step.asked(row):
            if not stand_in.as_meant(builder, step, index):
                named = dict(step.phrases(row)).get(step.places[index])
                return named or builder.say("correction")
        return ""

    def as_meant(self, builder: StandIn, step: R, index: int) -> bool:
        """Whether a reading was heard as it was meant."""
        return stand_in.as_meant(builder, step, index)

    def taken_back(
        self, turn: Turn, step: R, why: Literal["reopened", "adjusted"] = "reopened"
    ) -> None:
        """The readings no longer count."""
        for name in list(values.values_of(turn)):
            values.supersede(turn, name, why)

    def say_standing(self, turn: Turn, step: R) -> None:
        """Read back the readings that do not count yet."""
        for name in values.standing(turn):
            readback.say_value(turn, name)

    def has_value(self, state: State, step: R) -> bool:
        """One that was read; or one that is in doubt, of the open step alone."""
        doubted = step.id == state.step and isinstance(state.awaiting, DigitCheck)
        return bool(state.values.get(step.id)) or doubted

    def say_digits(self, turn: Turn, step: R) -> None:
        """The digits of the last reading; where they must be said first, asks for them instead.

        The digits of an earlier value must not be taken for those that are asked for.
        """
        if isinstance(turn.state.awaiting, DigitCheck):
            measuring.say_digit_question(turn)
            return
        have = values.open_values(turn)
        if not have:
            turn.say("nothing_to_correct")
            return
        position = have[-1]
        value = values.values_of(turn)[position]
        language, seen = turn.context.language, value.indication
        ends = [seen.amount] if seen.upper is None else [seen.amount, seen.upper]
        turn.say(
            "digits_of_last",
            tone="readback",
            about=about(step.id, position),
            position=before_value(turn, step.spoken(position)),
            value=language.say_indication(seen),
            digits=turn.words("and").join(language.say_digits(a.number()) for a in ends),
        )


def _last_read(state: State, step: ReadStep) -> str:
    """The place that was read last of those that are reviewed."""
    now = {step.places[index] for index in step.asked(values.row_of(state, step))}
    return [name for name in state.values[step.id] if name in now][-1]
