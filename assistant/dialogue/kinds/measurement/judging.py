"""Readings reviewed, out of limits, corrected and let stand."""

from __future__ import annotations

from dataclasses import replace

from assistant.dialogue import tooling
from assistant.dialogue.context import Context
from assistant.dialogue.kinds.judged import JudgedKind
from assistant.dialogue.kinds.measurement import correcting, measuring, readback, stand_in, values
from assistant.dialogue.kinds.measurement.spoken import number_spec
from assistant.dialogue.owner import MayBeSaid, Said
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import OutOfLimit, Review, State, Value
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, NumberSpec, Phrase, Reading
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.models import Procedure


class JudgedReadings(JudgedKind[MeasurementStep]):
    """What is said of readings that were taken."""

    def correct(self, turn: Turn, step: MeasurementStep, said: Said) -> bool:
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

    def review_allows(self, context: Context, state: State, step: MeasurementStep) -> MayBeSaid:
        """Another reading, or a position by name, beside the commands."""
        return replace(
            super().review_allows(context, state, step),
            phrases=tuple((p, p) for p in step.named_places),
            reading=number_spec(context, state, step),
        )

    def answer_review(self, turn: Turn, step: MeasurementStep, at: Review, said: Said) -> bool:
        """Another reading in place of the last, or a correction."""
        if isinstance(said.meaning, Reading):
            self._read_instead(turn, at, said.meaning, said)
            return True
        return self.correct(turn, step, said)

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
            measuring.hear_reading(turn, awaited, reading, said.heard, said.why_asked)

    def reading_when_out(
        self, context: Context, state: State, step: MeasurementStep
    ) -> NumberSpec | None:
        """A reading with the gauge in hand; where one adjusts, the word for that comes first."""
        return None if step.adjustable else number_spec(context, state, step)

    def value_out(self, turn: Turn, step: MeasurementStep, position: str) -> Value:
        """As it was read, or as it holds the step after it was taken back."""
        have = values.values_of(turn)
        return have[position] if position in have else turn.state.held[step.id][position]

    def measure_again(self, turn: Turn, step: MeasurementStep, index: int) -> None:
        """All places, since an adjustment may move them all; or only the one, if it says so."""
        all_of_them = step.measure_again == "all"
        for name in list(values.values_of(turn)) if all_of_them else [step.places[index]]:
            values.supersede(turn, name, "adjusted")
        if not tooling.blocked_meanwhile(turn):
            measuring.ask_next(turn)

    def adjusted_next(self, builder: StandIn, step: MeasurementStep, index: int) -> bool:
        """Whether there is a reading for after the next adjustment."""
        return stand_in.another(builder, index)

    def confirmed(self, turn: Turn, step: MeasurementStep) -> None:
        """The readings count."""
        values.confirm_all(turn)

    def say_review(self, turn: Turn, step: MeasurementStep) -> None:
        """Ask to go on, or to correct."""
        turn.say("review_measurement" if len(step.places) == 1 else "review_measurements")

    def position(self, procedure: Procedure, step: MeasurementStep, index: int) -> str:
        """The name of a position."""
        return step.places[index]

    def index(self, procedure: Procedure, step: MeasurementStep, position: str) -> int:
        """The index of a position."""
        return step.places.index(position)

    def say_value_at(self, turn: Turn, step: MeasurementStep, position: str) -> None:
        """Read back the value at a position."""
        readback.say_value(turn, position)

    def part_changed(self, turn: Turn, step: MeasurementStep, index: int) -> None:
        """Measure there again."""
        correcting.correct(turn, index)

    def value_stands(self, turn: Turn, step: MeasurementStep) -> None:
        """On to the next position, with a gauge that may still be used."""
        unread = any(name not in values.values_of(turn) for name in step.places)
        if not (unread and tooling.blocked_meanwhile(turn)):
            measuring.ask_next(turn)

    def all_as_meant(self, builder: StandIn, step: MeasurementStep) -> bool:
        """Whether every reading was heard as it was meant."""
        return all(stand_in.as_meant(builder, step, i) for i in range(len(step.places)))

    def as_meant(self, builder: StandIn, step: MeasurementStep, index: int) -> bool:
        """Whether a reading was heard as it was meant."""
        return stand_in.as_meant(builder, step, index)
