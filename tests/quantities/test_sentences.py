"""What is said when something cannot be: a whole sentence, word for word, for it is read aloud."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from fractions import Fraction

import pytest

from assistant.language.english import in_english
from assistant.quantities import fits, intervals, joint, repeated, wrench
from assistant.quantities.amount import Indication, parse_amount
from assistant.quantities.combining import combined
from assistant.quantities.formula import evaluate
from assistant.quantities.limits import Limits
from assistant.quantities.passes import TighteningSequence, pass_plan
from assistant.quantities.patterns import pattern_order
from assistant.quantities.problem import Problem
from assistant.quantities.propagation import Estimate
from assistant.quantities.shims import ShimGap, ShimStock, choose_shims
from assistant.quantities.statistics_tables import student_cdf, student_quantile
from assistant.quantities.threads import thread
from assistant.quantities.tools import pick_tool
from assistant.quantities.units import UNITS, convert, powers
from assistant.quantities.wrench import WantedTorque, WrenchScale
from tests.quantities.kit import a, limits
from tests.quantities.test_tools import tool, torque_need

GAP = limits("0.1 mm", "0.2 mm")
SHIMS = [ShimStock(a("0.05 mm"), 1), ShimStock(a("0.1 mm"), 2)]
READINGS = {"bore": a("12 mm"), "heat": a("20 degC"), "pin": a("4 mm")}
LENGTHS = "Gap, limits and shims must all be lengths; check their units."
GRADES = (
    "4.6, 4.8, 5.6, 5.8, 6.8, 8.8, 9.8, 10.9, 12.9, A2-50, A2-70, A2-80, A4-50, A4-70, A4-80, "
    "grade 1, grade 2, grade 4, grade 5, grade 5.1, grade 5.2, grade 8, grade 8.1, grade 8.2"
)


def told(formula: str, unit: str = "mm") -> Callable[[], object]:
    return lambda: evaluate(formula, READINGS, unit)


RAISED: list[tuple[Callable[[], object], str]] = [
    (lambda: parse_amount("two mm"),
     "'two mm' is not a number followed by a unit, such as '0.002 in'."),
    (lambda: parse_amount("2 ell"),
     f"'ell' is not a known unit; use one of: {', '.join(UNITS)}."),
    (lambda: parse_amount("1/0 mm"), "'1/0 mm' divides by zero."),
    (lambda: Indication("eq", a("1 mm"), a("2 mm")),
     "An upper end goes with 'between' and with nothing else."),
    (lambda: fits.deviations(a("25 mm"), "H17"),
     "'H17' is not in the tables; they hold holes A to Z and shafts a to z, grades 1 to 16, such "
     "as H7 and k6."),
    (lambda: fits.deviations(a("501 mm"), "H7"),
     "501 mm is outside the tables, which reach to 500 mm."),
    (lambda: fits.deviations(a("0 mm"), "H7"),
     "0 mm is outside the tables, which reach to 500 mm."),
    (lambda: fits.deviations(a("25 mm"), "K9"),
     "The standard has no K9 of 25 mm; check the name."),
    (lambda: fits.limits_of("H7"),
     "'H7' does not name a fit; write '25 H7', '25 k6' or '25 H7/k6'."),
    (lambda: fits.fit(a("25 mm"), "h7", "g6"),
     "A hole's class is written large and a shaft's small; write H7 and g6."),
    (lambda: fits.fit(a("25 mm"), "H7", "G6"),
     "A hole's class is written large and a shaft's small; write H7 and g6."),
    (told("bore" + " + bore" * 40),
     "The formula has 284 characters; shorten it to 200 or split it."),
    (told("bore -"), "'bore -' is not a formula; write 'bore - journal'."),
    (told("-" * 21 + "bore"),
     "The formula has too many brackets inside each other; split it."),
    (told("lid"), "'lid' is not an input of the formula; it has: bore, heat, pin."),
    (lambda: evaluate("lid", {}, "mm"), "'lid' is not an input of the formula; it has: none."),
    (told("bore * 1e99"), "The number 1e99 is out of all proportion; check it."),
    (told("bore / (pin - pin)"),
     "'bore / (pin - pin)' divides by zero with these readings; measure again."),
    (told("abs(bore, pin)"), "'abs' in the formula takes one value, not 2."),
    (told("half(bore, pin)"), "'half' in the formula takes one value, not 2."),
    (told("hypot(bore)"), "'hypot' in the formula takes two values, not 1."),
    (told("sqrt(pin * pin - bore * bore)"),
     "'sqrt(pin * pin - bore * bore)' has the square root of less than zero with these readings; "
     "measure again."),
    (told("sqrt(bore)"),
     "'sqrt(bore)' has a square root that gives no quantity; hypot(a, b) is sqrt(a*a + b*b)."),
    (told("at_20(heat, bore, 11.5)"),
     "'at_20' in the formula takes a length, a temperature and the expansion in millionths per "
     "kelvin, such as at_20(size, heat, 11.5); behind them temperature and expansion of the gauge, "
     "where it is not at 20 degC."),
    (told("at_20(bore, heat, 301)"),
     "The expansion in 'at_20(bore, heat, 301)' must lie between 0 and 300 millionths per kelvin; "
     "steel has about 11.5."),
    (told("at_20(bore, heat, -1)"),
     "The expansion in 'at_20(bore, heat, -1)' must lie between 0 and 300 millionths per kelvin; "
     "steel has about 11.5."),
    (told("half(heat)", "degC"),
     "'half(heat)' computes with temperatures; only min, max and mean take those, and the "
     "difference of two."),
    (told("bore ** 2"),
     "A formula takes names, numbers, + - * / and min, max, abs, mean, half, sqrt, hypot, sin, "
     "cos, at_20, growth, rise_for, rim_offset, standing_offset, face_slope, foot_move, stretch, "
     "which 'bore ** 2' goes beyond."),
    (told("bore + heat"),
     "'bore + heat' mixes quantities of different kinds, or does not give 'mm'; check it."),
    (told("max(bore, heat)"),
     "'max(bore, heat)' mixes quantities of different kinds, or does not give 'mm'; check it."),
    (told("bore", "N*m"),
     "'bore' mixes quantities of different kinds, or does not give 'N*m'; check it."),
    (lambda: intervals.stacked([]), "A stack needs at least one blade; name them."),
    (lambda: joint.proof_stress(thread("M8"), "grade 5"),
     "SAE J429 grade 5 does not cover M8; it is for inch threads to 1 1/2."),
    (lambda: joint.proof_stress(thread("M8"), "8.9"),
     f"'8.9' is not a known property class; use one of: {GRADES}."),
    (lambda: joint.proof_stress(thread("M42"), "8.8"),
     "ISO 898-1 does not cover M42; its classes are for M1.6 to M39, in fine pitches from M8x1."),
    (lambda: joint.proof_stress(thread("M18"), "9.8"),
     "ISO 898-1 class 9.8 ends at M16, and this is M18."),
    (lambda: pass_plan(WantedTorque(a("20 N*m")),
                       TighteningSequence([Fraction(1, 2)], "ring", 4), WrenchScale(a("0.5 N*m"))),
     "The last pass must be the whole target; write 0.5, 0.75, 1."),
    (lambda: pass_plan(WantedTorque(a("20 N*m")),
                       TighteningSequence([], "ring", 4), WrenchScale(a("0.5 N*m"))),
     "The last pass must be the whole target; write 0.5, 0.75, 1."),
    (lambda: pass_plan(WantedTorque(a("20 N*m")),
                       TighteningSequence([Fraction(1), Fraction(1)], "ring", 4),
                       WrenchScale(a("0.5 N*m"))),
     "The passes must rise; write 0.5, 0.75, 1."),
    (lambda: pass_plan(WantedTorque(a("20 N*m")),
                       TighteningSequence([Fraction(99, 100), Fraction(1)], "ring", 4),
                       WrenchScale(a("1 N*m"))),
     "Passes 1 and 2 fall on the same mark of the tool; use fewer passes or a finer tool."),
    (lambda: pattern_order("ring", 0),
     "A pattern needs at least one fastener; list the fasteners."),
    (lambda: repeated.runout_from_quarter_turns([a("1 mm")] * 5),
     "Quarter turns are four readings; there are 5."),
    (lambda: combined([Estimate(a("1 mm"), {})], "sum"),
     "'sum' is not a way to combine readings."),
    (lambda: student_cdf(1.0, 0), "Student's t needs at least one degree of freedom."),
    (lambda: student_quantile(1.0, 3), "The probability must lie from 0.5 to under 1."),
    (lambda: student_quantile(0.49, 3), "The probability must lie from 0.5 to under 1."),
    (lambda: thread("M7.5"),
     "'M7.5' is not a known thread; write a size of ISO 261 such as M8 or M8x1, or of ASME B1.1 "
     "such as 1/4-20 or 10-32."),
    (lambda: powers("ell"), f"Unknown unit 'ell'; use one of: {', '.join(UNITS)}."),
    (lambda: convert(Fraction(1), "mm", "N"), "'mm' and 'N' are different kinds of quantity."),
    (lambda: wrench.adapter(a("1 N"), a("1 mm"), a("0 deg")),
     "The wrench and its adapter are measured as lengths; check units."),
    (lambda: wrench.adapter(a("1 mm"), a("1 N"), a("0 deg")),
     "The wrench and its adapter are measured as lengths; check units."),
    (lambda: wrench.adapter(a("1 mm"), a("1 mm"), a("1 N")),
     "The adapter's angle 1 N is not an angle; give it in deg."),
    (lambda: wrench.adapter(a("0 mm"), a("1 mm"), a("0 deg")),
     "The wrench's length must be above zero; measure it again."),
    (lambda: wrench.adapter(a("10 mm"), a("10 mm"), a("180 deg")),
     "The adapter reaches back past the hand; turn it the other way."),
    (lambda: wrench.wrench_setting(WantedTorque(a("20 mm")), WrenchScale(a("1 N*m"))),
     "20 mm is not a torque; give it in N*m, lbf*ft or lbf*in."),
    (lambda: wrench.wrench_setting(WantedTorque(a("20 N*m")), WrenchScale(a("0 N*m"))),
     "The tool has no graduation; give its resolution."),
    (lambda: wrench.wrench_setting(WantedTorque(a("0 N*m")), WrenchScale(a("1 N*m"))),
     "The target torque is 0 N·m; give one above zero."),
    (lambda: wrench.wrench_setting(WantedTorque(a("20 N*m"), prevailing=a("-1 N*m")),
                                   WrenchScale(a("1 N*m"))),
     "The prevailing torque -1 N·m is under zero; check it."),
    (lambda: wrench.wrench_setting(WantedTorque(a("6 N*m")), WrenchScale(a("10 N*m"))),
     "No tolerance is given, and no mark of the tool lies within 0.6 N·m of 6 N·m; use a finer "
     "tool."),
    (lambda: wrench.wrench_setting(WantedTorque(a("6 N*m"), tolerance=a("1 N*m")),
                                   WrenchScale(a("10 N*m"))),
     "No mark of the tool lies within 1 N·m of 6 N·m; use a finer tool."),
    (lambda: wrench.wrench_setting(WantedTorque(a("20 N*m")),
                                   WrenchScale(a("1 N*m"), upper=a("19 N*m"))),
     "20 N·m is over the tool's range, which ends at 19 N·m; use a bigger tool."),
    (lambda: wrench.wrench_setting(WantedTorque(a("20 N*m")),
                                   WrenchScale(a("1 N*m"), lower=a("21 N*m"))),
     "20 N·m is too little for this tool, which is used from 21 N·m; use a smaller tool."),
]  # fmt: skip

SAID: list[tuple[object, str]] = [
    (choose_shims(ShimGap(a("1 mm")), Limits(None, a("1 mm")), SHIMS),
     "Shims are chosen to the middle of two limits; give a lower and an upper one."),
    (choose_shims(ShimGap(a("1 mm")), Limits(a("1 mm"), None), SHIMS),
     "Shims are chosen to the middle of two limits; give a lower and an upper one."),
    (choose_shims(ShimGap(a("1 N")), GAP, SHIMS), LENGTHS),
    (choose_shims(ShimGap(a("1 mm")), limits("1 N", "2 mm"), SHIMS), LENGTHS),
    (choose_shims(ShimGap(a("1 mm")), limits("1 mm", "2 N"), SHIMS), LENGTHS),
    (choose_shims(ShimGap(a("1 mm")), GAP, [ShimStock(a("1 N"), 1)]), LENGTHS),
    (choose_shims(ShimGap(a("1 mm")), GAP, [ShimStock(a("0 mm"), 1)]),
     "A shim in the stock has no thickness or a count below zero; correct the stock."),
    (choose_shims(ShimGap(a("1 mm")), GAP, [ShimStock(a("0.1 mm"), -1)]),
     "A shim in the stock has no thickness or a count below zero; correct the stock."),
    (choose_shims(ShimGap(a("1 mm")), limits("0.2 mm", "0.1 mm"), SHIMS),
     "The limits 0.2 mm to 0.1 mm are upside down; check them."),
    (choose_shims(ShimGap(a("0.3 mm"), opens=True), GAP, SHIMS),
     "The gap is over 0.2 mm without any shim, and shims here only open it further."),
    (choose_shims(ShimGap(a("0.05 mm")), GAP, SHIMS),
     "The gap is under 0.1 mm without any shim, and shims here only close it further."),
    (choose_shims(ShimGap(a("1 mm")), GAP, SHIMS),
     "No stack of the shims left in the set brings the gap 1 mm to 0.1 mm to 0.2 mm; get other "
     "shims or check the measurement."),
    (choose_shims(ShimGap(a("0.3 mm"), uncertainty=a("0.06 mm")), GAP, SHIMS, guarded=True),
     "The uncertainty of the gap 0.3 mm leaves no stack of the shims in the set that keeps clear "
     "of the limits 0.1 mm to 0.2 mm; get other shims or a finer gauge."),
    (pick_tool([], torque_need(a("20 N*m")), date(2026, 3, 2)),
     "There is no torque wrench on the bench; fetch one."),
    (pick_tool([tool()], torque_need(a("60 N*m")), date(2026, 3, 2)),
     "No torque wrench on the bench will do: 60 N·m is over the range of the small wrench, which "
     "ends at 50 N·m."),
]  # fmt: skip


@pytest.mark.parametrize(("fails", "sentence"), RAISED, ids=[s for _, s in RAISED])
def test_what_cannot_be_is_told_in_a_sentence(fails: Callable[[], object], sentence: str) -> None:
    with pytest.raises(ValueError) as fault:  # noqa: PT011 - the sentence is compared below
        fails()
    given = vars(fault.value)
    assert in_english(given.get("problem") or given.get("told") or str(fault.value)) == sentence


@pytest.mark.parametrize(("given", "sentence"), SAID, ids=[s for _, s in SAID])
def test_what_does_not_suit_is_told_in_a_sentence(given: object, sentence: str) -> None:
    assert isinstance(given, Problem | str)
    assert in_english(given) == sentence


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"unit": "ell"}, "'ell' is not a known unit; use one of: "),
        ({"upper": "5 mm"}, "5 mm does not suit tool 'wrench', which shows N*m."),
        ({"resolution": "0 N*m"}, "The resolution of tool 'wrench' must be above zero."),
        ({"lower": "50 N*m"}, "The range of tool 'wrench' is upside down; swap its ends."),
        ({"members": [{"size": "0 N*m"}]},
         "A member of the set 'wrench' has no size; correct it."),
        ({"kind": "feeler"}, "The set 'wrench' is empty; list its blades or shims."),
        ({"kind": "shim_set"}, "The set 'wrench' is empty; list its blades or shims."),
    ],
)  # fmt: skip
def test_a_tool_that_cannot_be_is_told(changes: Mapping[str, object], sentence: str) -> None:
    with pytest.raises(ValueError, match="validation error") as fault:
        tool(**changes)
    assert f"Value error, {sentence}" in str(fault.value)
