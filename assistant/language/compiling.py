"""From a listening spec to one grammar tree: as narrow as the moment allows."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from assistant.language.spec import ListenSpec, NumberSpec
from assistant.language.tree import (
    Choice,
    Node,
    Ref,
    Repeat,
    Tag,
    choice,
    optional,
    phrase,
    sequence,
)
from assistant.quantities.units import convert

_MOST_DECIMALS = 6
_MOST_CHARACTERS = 12
_MARGIN = 10
"""The grammar reaches ten times beyond the plausible band: it never hides a bad reading."""


_SINGLE = choice(Ref("single"), sequence(Ref("double"), Ref("single")))


def number(whole: str, decimals: int, signed: bool) -> Node:
    """A well-formed number: ``whole`` names the rule of its integer part."""
    integer = choice(Ref(whole), Ref("nought"))
    forms: list[Node] = [integer, sequence(Ref(whole), Ref("half"))]
    if decimals > 0:
        fraction = sequence(Ref("point"), fraction_digits(decimals))
        forms = [
            sequence(integer, optional(choice(fraction, Ref("half")))),
            fraction,
        ]
    forms.append(digit_string(decimals))
    whole_number = choice(*forms)
    return sequence(optional(Ref("minus")), whole_number) if signed else whole_number


def fraction_digits(decimals: int) -> Node:
    """One to ``decimals`` digits after the point; "double" says the next one twice."""
    one = choice(Ref("fraction_digit"), sequence(Ref("double"), Ref("fraction_digit")))
    return Repeat(one, 1, decimals)


def digit_string(decimals: int) -> Node:
    """A number said digit by digit: "one four", "one four point five"."""
    digits = Repeat(_SINGLE, 2, 4)
    if decimals == 0:
        return digits
    return sequence(digits, optional(sequence(Ref("point"), fraction_digits(decimals))))


def whole_rule(high: Fraction | None) -> str:
    """The rule of integer parts up to ten times ``high``."""
    if high is None:
        return "below_100000"
    for limit, name in ((10, "below_10"), (100, "below_100"), (1000, "below_1000")):
        if high * _MARGIN < limit:
            return name
    return "below_100000"


def decimals_in(unit: str, spec: NumberSpec) -> int:
    """Digits after the point in ``unit`` that the gauge's resolution calls for."""
    own = spec.units[0]
    zero = convert(Fraction(0), own, unit)
    step = convert(Fraction(1, 10**spec.max_decimals), own, unit) - zero
    places = 0
    while Fraction(1, 10**places) > step and places < _MOST_DECIMALS:
        places += 1
    return places


def quantity(spec: NumberSpec, unit_rules: Mapping[str, str]) -> Node:
    """A number in each unit that may be spoken; without a unit, in the tool's own."""
    forms: list[Node] = []
    for index, unit in enumerate(spec.units):
        high = None
        if spec.high is not None:
            ends = [abs(convert(e, spec.units[0], unit)) for e in (spec.low, spec.high)
                    if e is not None]  # fmt: skip
            high = max(ends)
        decimals = decimals_in(unit, spec)
        rule = Ref(unit_rules[unit])
        if unit == "tenth":
            # Only whole tenths below a hundred: "one hundred ten thousandths" stays one thing.
            forms.append(sequence(Ref("below_100"), rule))
            continue
        value = number(whole_rule(high), decimals, spec.signed)
        if index == 0:
            forms.append(sequence(value, choice(rule, Tag(f"unit:{unit}"))))
        else:
            forms.append(sequence(value, rule))
        if unit in ("in", "thou"):
            parts = sequence(Ref("below_100"), Ref("parts"), rule)
            forms.append(parts)
    return choice(*forms)


def reading(spec: NumberSpec, unit_rules: Mapping[str, str]) -> Node:
    """A reading after its carrier word, and blade phrases where the gauge has blades."""
    value = quantity(spec, unit_rules)
    said: Node = value
    if spec.bounds:
        said = sequence(optional(choice(Ref("less"), Ref("more"))), value)
    forms: list[Node] = [sequence(Ref("carrier"), Tag("reading"), said)]
    if spec.blades:
        unit = spec.units[0]
        size = sequence(
            number("below_1000", spec.max_decimals, False),
            choice(Ref(unit_rules[unit]), Tag(f"unit:{unit}")),
        )
        verdict = choice(Ref("goes"), Ref("goes_not"))
        forms.append(sequence(Ref("blade"), Tag("reading"), size, verdict))
    return choice(*forms)


def compile_spec(
    spec: ListenSpec, commands: Mapping[str, tuple[str, ...]], unit_rules: Mapping[str, str]
) -> Node:
    """The tree of everything that ``spec`` allows; every path begins with a kind tag."""
    forms: list[Node] = []
    for command in spec.commands:
        said = choice(*(phrase(words) for words in commands[command]))
        forms.append(sequence(Tag(f"command:{command}"), said))
    for index, (_, words) in enumerate(spec.phrases):
        forms.append(sequence(Tag(f"phrase:{index}"), phrase(words)))
    if spec.reading is not None:
        forms.append(reading(spec.reading, unit_rules))
    if spec.digits:
        value = sequence(
            Repeat(_SINGLE, 0, 5),
            optional(sequence(Ref("point"), fraction_digits(_MOST_DECIMALS))),
        )
        forms.append(sequence(Tag("digits"), optional(Ref("minus")), value))
    if spec.spelling:
        forms.append(sequence(Tag("spelling"), Repeat(Ref("character"), 1, _MOST_CHARACTERS)))
    return choice(*forms) if forms else Choice(())
