"""The model of a log.

Rows are counted from zero. Row ``k`` is due at a whole number of intervals after the start; the
first row is due at the start itself unless ``at_start`` is false.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, ConfigDict, Field, PlainSerializer, WithJsonSchema

from assistant.procedure.fields import Id, Model, Quantity, Text, UnitCode
from assistant.procedure.step import GaugedStep, LimitedStep, ReadStep, StepsInOrder
from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.propagation import suits
from assistant.quantities.units import RATE_OF, difference_unit, same_dimension

SETTLED = "settled"
"""The place of the value that is judged when a log does not settle in its longest time."""

MOST_ROWS = 500

LogStatistic = Literal["first", "last", "highest", "lowest", "rise", "rate"]
"""What a later step may take of a value: ``rise`` is the last less the first, ``rate`` the fastest
rise from one reading to the next."""

TAKEN: tuple[LogStatistic, ...] = get_args(LogStatistic)
_LATE_SHARE = 10  # late after a tenth of the interval: common sense, no source
_SETTLED = re.compile(r"\s*within\s+(\S+\s+\S+)\s+over\s+(\S+\s+\S+)\s*$")


@dataclass(frozen=True)
class Settled:
    """Readings have settled once they differ by no more than ``within`` over the time ``over``."""

    within: Amount  # a difference
    over: Amount

    def __str__(self) -> str:
        return f"within {self.within} over {self.over}"


def _read_settled(value: Any) -> Any:
    if not isinstance(value, str):
        return value
    found = _SETTLED.match(value) if len(value) <= 80 else None
    if found is None:
        raise ValueError("It is not understood; write 'within 1 degC over 20 min'.")
    within, over = (parse_amount(part) for part in found.groups())
    return Settled(within.as_difference(), over)


SettledText = Annotated[
    Settled,
    BeforeValidator(_read_settled),
    PlainSerializer(str, return_type=str, when_used="json"),
    WithJsonSchema({"type": "string", "pattern": r"^\s*within\s+\S+\s+\S+\s+over\s+\S+\s+\S+$"}),
]
"""``within 1 degC over 20 min``."""


class LoggedValue(Model):
    """One value of every row. ``quantity`` is its name, said aloud: "front bearing"."""

    quantity: Text
    unit: UnitCode
    gauge: Id
    lower: Quantity | None = None
    upper: Quantity | None = None
    plausible_low: Quantity | None = None
    plausible_high: Quantity | None = None
    rule: Literal["simple", "guarded"] = "simple"


class LoggedRead(GaugedStep):
    """One value of a log, as a step of its own that is read at the places of the whole log."""

    all_places: tuple[str, ...] = ()

    @property
    def places(self) -> tuple[str, ...]:
        """Those of the log."""
        return self.all_places


class LogStep(ReadStep):
    """Values read ``every`` so often, for a time; each reading has its time in the record.

    With ``settled`` the log ends as soon as the values have settled, not before ``at_least``; it
    goes on behind its planned time until they have, up to ``at_most``. A reading later than
    ``late`` after it is due is marked. ``stop`` is said when a value is out of limits.
    """

    model_config = ConfigDict(serialize_by_alias=True)

    kind: Literal["log"]
    every: Quantity
    for_: Annotated[Quantity, Field(alias="for")]
    readings: Annotated[tuple[LoggedValue, ...], Field(min_length=1, max_length=12)]
    at_start: bool = True
    settled: SettledText | None = None
    at_least: Quantity | None = None
    at_most: Quantity | None = None
    late: Quantity | None = None
    stop: str = ""

    @property
    def first(self) -> int:
        """How many intervals after the start the first row is due."""
        return 0 if self.at_start else 1

    @property
    def planned(self) -> int:
        """The row that ends the log as it is planned."""
        return max(0, self.intervals(self.for_) - self.first)

    @property
    def earliest(self) -> int:
        """The first row at which the log may end, having settled."""
        if self.settled is None:
            return self.planned
        least = self.settled.over if self.at_least is None else self.at_least
        return max(0, min(self.intervals(least) - self.first, self.furthest))

    @property
    def furthest(self) -> int:
        """The last row that there can be."""
        if self.settled is None:
            return self.planned
        most = 2 * self.intervals(self.for_) if self.at_most is None else self.intervals(
            self.at_most
        )  # fmt: skip
        return max(self.planned, min(most, MOST_ROWS) - self.first)

    def intervals(self, time: Amount) -> int:
        """How many whole intervals there are in ``time``; 0 where either is no time."""
        length, all_of_it = _seconds(self.every), _seconds(time)
        return min(int(all_of_it // length), MOST_ROWS) if length > 0 and all_of_it > 0 else 0

    @property
    def late_s(self) -> Fraction:
        """How late a reading may be, in seconds, before it is marked."""
        return _seconds(self.late) if self.late else _seconds(self.every) / _LATE_SHARE

    @property
    def places(self) -> tuple[str, ...]:
        """Every value of every row, as "front bearing 0:20"; then that of having settled."""
        names = tuple(one.quantity for one in self.readings)
        rows = _rows(names, _seconds(self.every), range(self.first, self.first + self.furthest + 1))
        return rows if self.settled is None else (*rows, SETTLED)

    def elapsed(self, row: int) -> str:
        """The time since the start at which a row is due: ``0:20``, with seconds if need be."""
        return _clock(_seconds(self.every) * (row + self.first))

    def row_of(self, index: int) -> int:
        """The row of the place ``index``."""
        return index // len(self.readings)

    def asked(self, row: int) -> Sequence[int]:
        """The places of one row."""
        width = len(self.readings)
        return range(row * width, (row + 1) * width)

    def phrases(self, row: int) -> tuple[tuple[str, str], ...]:
        """The places of one row, by the names of their values; a single one needs no name."""
        if len(self.readings) == 1:
            return ()
        places = self.places
        return tuple((places[i], self._logged(i).quantity) for i in self.asked(row))

    def spoken(self, place: str) -> str:
        """The name of the value."""
        return place.rpartition(" ")[0]

    @property
    def when_out(self) -> str:
        """What stops the machine."""
        return self.stop

    def _logged(self, index: int) -> LoggedValue:
        return self.readings[index % len(self.readings)]

    def at(self, place: str) -> LoggedRead:
        """The value that is read at a place."""
        places = self.places
        return self.value(self._logged(places.index(place)), places)

    def value(self, one: LoggedValue, places: tuple[str, ...] = ()) -> LoggedRead:
        """One value of the log as a step of its own."""
        fields = {name: getattr(one, name) for name in LoggedValue.model_fields}
        return LoggedRead.model_construct(
            id=self.id, kind=self.kind, title=self.title, say=self.say, all_places=places, **fields
        )

    def taken(self, picks: Sequence[str]) -> tuple[int, LogStatistic] | None:
        """Which value, and what of it, a later step takes by ``front bearing`` and ``last``.

        A log of one value needs no name for it. None where there is no such thing.
        """
        names = [one.quantity for one in self.readings]
        *named, what = picks or ("",)
        found = next((t for t in TAKEN if t == what), None)
        which = [names.index(n) for n in named if n in names] if named else [0]
        known = len(named) <= 1 and len(which) == 1 and (named or len(names) == 1)
        if found is None or not known:
            return None
        rated = found != "rate" or self.readings[which[0]].unit in RATE_OF
        return (which[0], found) if rated else None

    def offers(self, procedure: StepsInOrder) -> tuple[str, ...]:
        """Its first, last, highest and lowest values, its rise and its rate."""
        return tuple(
            f"{self.id}.{one.quantity}.{what}"
            for one in self.readings
            for what in TAKEN
            if what != "rate" or one.unit in RATE_OF
        )

    def source(self, picks: Sequence[str]) -> tuple[LimitedStep, tuple[str, ...]] | None:
        """What is taken, as a step with one value."""
        taken = self.taken(picks)
        if taken is None:
            return None
        which, what = taken
        one = self.value(self.readings[which])
        unit = {"rise": difference_unit(one.unit), "rate": RATE_OF.get(one.unit, one.unit)}
        quantity = f"{one.quantity} {what}"
        return one.model_copy(update={"unit": unit.get(what, one.unit), "quantity": quantity}), ()

    def watched(self) -> tuple[int, ...]:
        """Which of the values ``settled`` is about: all that can differ by such an amount."""
        if self.settled is None:
            return ()
        within = self.settled.within.unit
        return tuple(i for i, one in enumerate(self.readings) if suits(within, one.unit))


def _seconds(time: Amount) -> Fraction:
    return time.to("s").value if same_dimension(time.unit, "s") else Fraction(0)


@lru_cache(maxsize=64)  # a dialogue asks for the places of its logs at every answer
def _rows(names: tuple[str, ...], every_s: Fraction, intervals: range) -> tuple[str, ...]:
    return tuple(f"{name} {_clock(every_s * n)}" for n in intervals for name in names)


def _clock(seconds: Fraction) -> str:
    hours, minutes = divmod(int(seconds // 60), 60)
    rest = seconds % 60
    return f"{hours}:{minutes:02}" + (f":{int(rest):02}" if rest else "")
