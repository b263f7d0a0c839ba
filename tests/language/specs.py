"""Listening specs of every sort, for tests that sweep over them."""

from __future__ import annotations

from fractions import Fraction

from assistant.language import Language
from assistant.language.spec import ListenSpec, NumberSpec

EN = Language.load("en-US")
LENGTHS = ("thou", "tenth", "in", "mm", "um")
METRIC = ("mm", "um", "thou", "in")

NUMBERS = {
    "dial": NumberSpec(LENGTHS, 1, Fraction(0), Fraction(40)),
    "feeler": NumberSpec(
        ("thou", "in", "mm"), 1, Fraction(0), Fraction(40), blades=True, bounds=True
    ),
    "inch": NumberSpec(("in", "thou", "tenth", "mm"), 4, Fraction(0), Fraction(2), signed=True),
    "wide inch": NumberSpec(("in", "thou", "mm"), 3),
    "micrometer": NumberSpec(METRIC, 3, Fraction(0), Fraction(60)),
    "signed dial": NumberSpec(METRIC, 2, Fraction(-5), Fraction(5), signed=True, bounds=True),
    "narrow": NumberSpec(("um",), 0, Fraction(20), Fraction(80)),
    "torque": NumberSpec(("lbf*ft", "lbf*in", "N*m"), 1, None, Fraction(25)),
    "metric torque": NumberSpec(("N*m", "lbf*ft", "lbf*in"), 0, Fraction(10), Fraction(150)),
    "angle": NumberSpec(("deg",), 0, Fraction(0), Fraction(360)),
    "warmth": NumberSpec(("degC", "degF"), 0, Fraction(-10), Fraction(200), signed=True),
    "weight": NumberSpec(("kg",), 2, Fraction(0), Fraction(500)),
    "pull": NumberSpec(("N", "lbf"), 1, Fraction(0), Fraction(90)),
    "pressure": NumberSpec(("bar", "psi"), 2, Fraction(0), Fraction(10)),
    "screw": NumberSpec(("cN*m", "N*m", "ozf*in"), 1, Fraction(0), Fraction(120)),
    "ounces": NumberSpec(("ozf*in", "lbf*in", "cN*m"), 1, Fraction(0), Fraction(120)),
    "press": NumberSpec(("kN",), 1, Fraction(0), Fraction(200)),
    "oil pressure": NumberSpec(("MPa", "bar"), 2, Fraction(0), Fraction(25)),
    "slope": NumberSpec(("mm/m",), 2, Fraction(-5), Fraction(5), signed=True),
    "flow": NumberSpec(("l/min",), 1, Fraction(0), Fraction(90)),
    "warming": NumberSpec(("degC/min", "degC/h", "degF/min", "degF/h"), 1, None, Fraction(90)),
    "time": NumberSpec(("min", "s", "h"), 0, Fraction(0), Fraction(60)),
}
COMMANDS = EN.command_ids
SPECS = {
    **{name: ListenSpec(commands=COMMANDS, reading=number) for name, number in NUMBERS.items()},
    "digits": ListenSpec(commands=COMMANDS, digits=True),
    "spelling": ListenSpec(commands=COMMANDS, spelling=True),
    "phrases": ListenSpec(
        commands=COMMANDS,
        phrases=(("b1", "bolt one"), ("b2", "bolt two"), ("lip", "lip seal")),
    ),
    "commands": ListenSpec(commands=COMMANDS),
}
