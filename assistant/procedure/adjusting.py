"""Values that are adjusted until they are within limits, and the steps that made them."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from assistant.procedure.fields import Id, Model, Text
from assistant.procedure.step import LimitedStep

Side = Literal["high", "low", ""]
"""Over the upper limit, under the lower one, or not known."""


class Remedy(Model):
    """What is to be done about a value out of limits; ``back_to``: the step that is done again."""

    say: Text
    back_to: Id | None = None


def _in_short(value: Any) -> Any:
    return {"say": value} if isinstance(value, str) else value


_SCHEMA = {
    "anyOf": [
        {"type": "string", "minLength": 1},
        {
            "type": "object",
            "properties": {"say": {"type": "string"}, "back_to": {"type": "string"}},
            "required": ["say"],
            "additionalProperties": False,
        },
    ]
}
RemedyText = Annotated[Remedy, BeforeValidator(_in_short), WithJsonSchema(_SCHEMA)]
"""A remedy, or its words alone."""


class AdjustableStep(LimitedStep):
    """A value that may be adjusted and measured again, as often as the procedure allows.

    ``adjust`` says what to do whichever limit is passed, ``on_high`` and ``on_low`` at one of them.
    ``tries`` is how often at most. After each adjustment the whole step is measured again, or with
    ``measure_again: place`` only the place that was out. ``made_by`` is the step that made the
    value: it is done again when the part is reworked or replaced.
    """

    until: Literal["in"] | None = None
    adjust: Text | None = None
    on_high: RemedyText | None = None
    on_low: RemedyText | None = None
    tries: Annotated[int, Field(ge=1, le=50)] | None = None
    measure_again: Literal["all", "place"] = "all"
    made_by: Id | None = None

    @property
    def adjustable(self) -> bool:
        """Whether the procedure says what to do about a value out of limits."""
        return any(x is not None for x in (self.adjust, self.on_high, self.on_low))

    def remedy(self, side: Side) -> Remedy | None:
        """What is to be done about a value on ``side``; None where nothing is said of it."""
        own = {"high": self.on_high, "low": self.on_low}.get(side)
        if own is not None:
            return own
        return None if self.adjust is None else Remedy(say=self.adjust)

    def remedies(self) -> dict[str, Remedy]:
        """Every remedy by its key."""
        found = {"on_high": self.on_high, "on_low": self.on_low}
        if self.adjust is not None:
            found = {"adjust": Remedy(say=self.adjust), **found}
        return {key: remedy for key, remedy in found.items() if remedy is not None}

    def in_words(self) -> list[str]:
        """What is printed of it, a sentence each."""
        when = {"adjust": "Out of limits", "on_high": "Too high", "on_low": "Too low"}
        most = f" At most {self.tries} adjustments." if self.tries else ""
        found = [
            f"{when[key]}: {remedy.say}"
            + (f" Then step '{remedy.back_to}' again." if remedy.back_to else "")
            for key, remedy in self.remedies().items()
        ]
        return [f"{text}{most}" for text in found]
