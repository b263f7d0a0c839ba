"""The model of a derived value."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from assistant.procedure.adjusting import AdjustableStep
from assistant.procedure.fields import Id, Text
from assistant.procedure.places import POSITION, Axis, ValueSource, picked, reference
from assistant.procedure.step import StepsInOrder
from assistant.quantities.combining import Combine


class DerivedStep(AdjustableStep):
    """A value computed from earlier readings: ``formula`` over names bound in ``inputs``.

    ``inputs`` maps a name in the formula to a measurement or derived step, or to places of one
    (``rim.six``); several places are combined by ``combine``. With ``each`` there is a value for
    every place (``position``), or for every name on one list of a grid (``main``), each judged on
    its own; an input without such places is the same for all.
    """

    kind: Literal["derived"]
    formula: Text
    inputs: dict[str, ValueSource]
    combine: Combine = "mean"
    each: Id | None = None

    def axes(self, procedure: StepsInOrder) -> tuple[Axis, ...]:
        """The lists that ``each`` goes along, as the first input that has them names them."""
        found: dict[str, Axis] = {}
        for axis in self.free_axes(procedure) if self.each else ():
            if self.each in (POSITION, axis.name):
                found.setdefault(axis.name, axis)
        return tuple(found.values())

    def free_axes(self, procedure: StepsInOrder) -> Iterator[Axis]:
        """The lists of every input that no name picks a place of, input by input."""
        for source in self.inputs.values():
            axes, picks = _axes_of(procedure, self, source)
            try:
                settled = picked(axes, picks)
            except LookupError:
                continue  # told by the check
            yield from (axis for axis in axes if axis.name not in settled)


def _axes_of(
    procedure: StepsInOrder, before: DerivedStep, source: str
) -> tuple[tuple[Axis, ...], tuple[str, ...]]:
    """The lists of what ``source`` names, and its picks; none where it does not come earlier."""
    name, picks = reference(source)
    for step in procedure.steps:
        if step.id == before.id:
            break
        if step.id == name and (found := step.source(picks)) is not None:
            return found[0].axes(procedure), found[1]
    return (), ()
