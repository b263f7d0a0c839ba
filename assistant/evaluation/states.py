"""The states of a session that the bench listens in, as narrow as real steps make them."""

from __future__ import annotations

from fractions import Fraction

from assistant.dialogue.commands import ANYTIME
from assistant.language.spec import ListenSpec, NumberSpec

_MEASURING = ("correction", "remeasure", "wrong", "go_back", "skip", *ANYTIME)
_RUNOUT = NumberSpec(("thou", "in", "mm", "um"), 1, Fraction(0), Fraction(20))
_PLACES = ("top", "right", "bottom", "left")

STATES: dict[str, ListenSpec] = {
    # A dial indicator reading in thousandths of an inch to half a thou.
    "runout": ListenSpec(_MEASURING, _RUNOUT),
    # An outside micrometer reading in millimetres to a thousandth.
    "journal": ListenSpec(
        _MEASURING, NumberSpec(("mm", "um", "in", "thou"), 3, Fraction(20), Fraction(60))
    ),
    # A torque wrench reading in newton metres.
    "torque": ListenSpec(
        _MEASURING, NumberSpec(("N*m", "lbf*ft", "lbf*in"), 0, Fraction(0), Fraction(200))
    ),
    # A doubted value repeated, digit by digit.
    "digits": ListenSpec(("wrong", "correction", *ANYTIME), digits=True),
    # Tightening a flange: fasteners by name.
    "tightening": ListenSpec(
        ("done", "pass_done", "missed", "correction", "go_back", "skip", *ANYTIME),
        phrases=tuple((f"bolt {n}", f"bolt {n}") for n in ("one", "two", "three", "four", "five")),
    ),
    # A step that is only carried out.
    "doing": ListenSpec(("done", "go_on", "go_back", "skip", *ANYTIME)),
    # A finished measurement looked over: a new reading, or a place to measure again.
    "review": ListenSpec(
        ("go_on", *_MEASURING), _RUNOUT, phrases=tuple((place, place) for place in _PLACES)
    ),
    # A question of yes or no.
    "yes_no": ListenSpec(("confirm", "wrong", *ANYTIME)),
}
"""Name of a state to what may be said in it. The gearbox and its limits are invented."""

READING_STATES = ("runout", "journal", "torque")
