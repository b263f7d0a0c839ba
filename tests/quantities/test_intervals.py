"""Go and no-go evidence: worked by hand and against every gap that may be."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.language.english import in_english
from assistant.quantities.amount import Amount, Indication, Relation
from assistant.quantities.intervals import (
    BladeSet,
    Evidence,
    gathered,
    next_blade,
    ring_does_not_go,
    ring_goes,
    sizes_of,
    stacked,
)
from assistant.quantities.limits import Limits, Verdict, judge
from assistant.quantities.problem import Problem
from tests.quantities.kit import a, limits, thou

GAP = limits("2 thou", "5 thou")
SET = tuple(thou(n, 2) for n in (3, 4, 6, 8, 10, 12, 16, 20))  # 1.5 2 3 4 5 6 8 10 thou


def goes(size: Amount) -> Indication:
    """A blade or plug of ``size`` goes: the gap or bore is ``size`` or more."""
    return Indication("ge", size)


def does_not_go(size: Amount) -> Indication:
    """A blade or plug of ``size`` does not go: the gap or bore is under ``size``."""
    return Indication("lt", size)


def allows(evidence: Evidence, value: Fraction) -> bool:
    """Whether the measurand may have ``value`` (in the evidence's unit)."""
    low, high = evidence.lower, evidence.upper
    above = low is None or value > low or (value == low and evidence.lower_included)
    below = high is None or value < high or (value == high and evidence.upper_included)
    return above and below


def known(*seen: Indication) -> Evidence:
    told = gathered(seen, "thou")
    assert isinstance(told, Evidence)
    return told


def test_the_thinnest_blade_will_not_go() -> None:
    seen = does_not_go(a("1.5 thou"))
    assert judge(seen, GAP, "thou").verdict == "out"
    assert known(seen).verdict(GAP) == "out"
    assert str(known(seen).indication()) == "< 1.5 thou"


def test_four_goes_and_five_does_not() -> None:
    told = known(goes(a("4 thou")), does_not_go(a("5 thou")))
    assert told.indication() == Indication("between", thou(4), thou(5))
    assert told.verdict(GAP) == "in"


def test_a_blade_cannot_go_where_a_thinner_one_did_not() -> None:
    told = gathered([does_not_go(a("4 thou")), goes(a("5 thou"))], "thou")
    assert isinstance(told, Problem)
    assert in_english(told) == ">= 5 thou cannot be together with < 4 thou; measure again."
    same = gathered([goes(a("4 thou")), does_not_go(a("4 thou"))], "thou")
    assert isinstance(same, Problem)


def test_a_plain_reading_must_agree_with_the_blades() -> None:
    told = known(goes(a("4 thou")), Indication("eq", a("4.5 thou")))
    assert told.indication() == Indication("eq", thou(9, 2))
    assert isinstance(gathered([goes(a("4 thou")), Indication("eq", a("3 thou"))], "thou"), Problem)


def test_ring_gauges_tell_the_opposite() -> None:
    told = known(ring_goes(a("25 mm")), ring_does_not_go(a("24.98 mm")))
    assert told.verdict(limits("24.98 mm", "25 mm")) == "in"
    assert not allows(told, a("24.98 mm").to("thou").value)
    assert allows(told, a("25 mm").to("thou").value)
    both = known(ring_goes(a("25 mm")), goes(a("25 mm")))
    assert both.lower == both.upper == a("25 mm").to("thou").value
    plain = both.indication()
    assert plain is not None
    assert plain.relation == "eq"


def test_nothing_known_is_no_indication() -> None:
    assert known().indication() is None
    assert known().verdict(GAP) == "undecided"
    assert known().verdict(Limits()) == "no_limit"
    assert str(known(Indication("gt", a("4 thou"))).indication()) == "> 4 thou"
    assert str(known(Indication("le", a("4 thou"))).indication()) == "<= 4 thou"


def test_stacks_add() -> None:
    assert stacked([a("4 thou"), a("1.5 thou")]) == Amount(Fraction(11, 2), "thou", Fraction(1, 10))
    assert stacked([a("4 thou"), a("0.0254 mm")]).value == 5
    assert stacked([a("1/64 in")]).resolution is None
    with pytest.raises(ValueError, match="at least one blade"):
        stacked([])


def test_sizes_of_a_set_use_the_fewest_blades() -> None:
    sizes = sizes_of([thou(1), thou(2), thou(3)])
    assert [len(s) for s in sizes] == [1, 1, 1, 2, 2]  # 1 2 3 1+3 2+3; 1+2 is the blade 3
    assert [stacked(s).value for s in sizes] == [1, 2, 3, 4, 5]


def test_the_next_blade() -> None:
    # of the sizes where the verdict turns, two, five and six, the middle one first
    assert next_blade(known(), GAP, BladeSet(SET)) == (thou(5),)
    # two goes: the gap is 2 or more, so only the upper limit is open; at 5 it turns
    assert next_blade(known(goes(thou(2))), GAP, BladeSet(SET)) == (thou(5),)
    # five goes: exactly five would still be in
    assert next_blade(known(goes(thou(5))), GAP, BladeSet(SET)) == (thou(6),)
    assert next_blade(known(goes(thou(5)), does_not_go(thou(6))), GAP, BladeSet(SET)) is None
    assert next_blade(known(goes(thou(3)), does_not_go(thou(4))), GAP, BladeSet(SET)) is None
    assert next_blade(known(), GAP, BladeSet(())) is None
    # with stacks 5 + 0.5 comes between five and six, and there is no 0.5: 1.5 + 4 it is
    assert next_blade(known(goes(thou(5))), GAP, BladeSet(SET, stacked=2)) == (thou(3, 2), thou(4))


def test_the_next_blade_that_narrows_the_gap() -> None:
    # of two, three, four and five, a middle one first
    assert next_blade(known(), GAP, BladeSet(SET, narrows=True)) == (thou(3),)
    assert next_blade(known(goes(thou(2))), GAP, BladeSet(SET, narrows=True)) == (thou(4),)
    # nothing is left within the limits: the one that tells whether it is over them
    assert next_blade(known(goes(thou(5))), GAP, BladeSet(SET, narrows=True)) == (thou(6),)
    # six goes, and the gap may be up to twelve: nine, not twelve or more
    wide = BladeSet([thou(n) for n in range(1, 21)], narrows=True)
    assert next_blade(known(goes(thou(6))), limits("2 thou", "12 thou"), wide) == (thou(9),)
    # without a limit at that end, as far as it matters
    assert next_blade(known(goes(thou(1))), limits("8 thou", None), wide) == (thou(8),)


def cells(blades: tuple[Amount, ...]) -> list[Fraction]:
    """A gap inside every cell and on every edge that the blades and limits cut."""
    sizes = sorted({b.value for b in blades} | {Fraction(2), Fraction(5)})
    return [s + d for s in (Fraction(0), *sizes) for d in (Fraction(0), Fraction(1, 100))]


@pytest.mark.parametrize(("narrows", "most"), [(False, 2), (True, 4)])
def test_following_the_advice_settles_every_gap_that_the_set_can_settle(
    narrows: bool, most: int
) -> None:
    for gap in cells(SET):
        told, tries = known(), 0
        while (blade := next_blade(told, GAP, BladeSet(SET, narrows=narrows))) is not None:
            size = stacked(blade)
            narrowed = told.with_(goes(size) if gap >= size.value else does_not_go(size))
            assert narrowed is not None
            told, tries = narrowed, tries + 1
        # every blade tried: the most that this set can tell of this gap
        all_tried = known(*(goes(b) if gap >= b.value else does_not_go(b) for b in SET))
        assert told.verdict(GAP) == all_tried.verdict(GAP)
        assert tries <= most  # of eight blades, three edges matter; five are within, or next to it


sizes = st.integers(0, 20).map(lambda n: Fraction(n, 2))
seen = st.lists(
    st.tuples(st.sampled_from(["lt", "le", "gt", "ge", "eq"]), sizes), min_size=1, max_size=4
)
GRID = [Fraction(n, 4) for n in range(-80, 120)]


@settings(max_examples=200)
@given(seen, st.one_of(st.none(), sizes), st.one_of(st.none(), sizes))
def test_evidence_agrees_with_every_gap_that_may_be(
    observed: list[tuple[Relation, Fraction]], lower: Fraction | None, upper: Fraction | None
) -> None:
    if lower is not None and upper is not None and lower > upper:
        lower, upper = upper, lower
    told = {
        "lt": Fraction.__lt__,
        "le": Fraction.__le__,
        "gt": Fraction.__gt__,
        "ge": Fraction.__ge__,
        "eq": Fraction.__eq__,
    }
    possible = [g for g in GRID if all(told[how](g, size) for how, size in observed)]
    evidence = gathered(
        [Indication(how, Amount(size, "thou").to("mm")) for how, size in observed],
        "thou",
    )
    if not possible:
        assert isinstance(evidence, Problem)
        return
    assert isinstance(evidence, Evidence)
    assert [g for g in GRID if allows(evidence, g)] == possible
    fits = {(lower is None or g >= lower) and (upper is None or g <= upper) for g in possible}
    expected: Verdict = "undecided" if len(fits) == 2 else "in" if True in fits else "out"
    allowed = Limits(
        None if lower is None else Amount(lower, "thou"),
        None if upper is None else Amount(upper, "thou"),
    )
    assert evidence.verdict(allowed) == ("no_limit" if allowed.none else expected)


def test_a_ring_that_goes_and_one_that_does_not_give_the_ends_the_other_way_round() -> None:
    told = known(ring_goes(a("30.01 mm")), ring_does_not_go(a("30.00 mm"))).indication()
    assert told is not None
    assert (told.relation, told.lower_included, told.upper_included) == ("between", False, True)
    inside = Indication("between", a("30 mm"), a("30.01 mm"), False, True)
    assert str(inside) == "over 30 to 30.01 mm"
    # a shaft of exactly 30.00 is not possible any more, one of exactly 30.01 is
    assert judge(inside, limits(None, "30 mm"), "mm").verdict == "out"
    assert judge(inside, limits("30.01 mm", None), "mm").verdict == "undecided"
    assert judge(inside, limits(None, "30.01 mm"), "mm").verdict == "in"


RINGS = tuple(a(f"{size} mm") for size in ("29.99", "30.00", "30.01", "30.02", "30.03"))


def test_the_next_ring_is_never_one_that_is_decided() -> None:
    shaft = limits("30.00 mm", "30.02 mm")
    told = gathered([ring_goes(a("30.02 mm"))], "mm")
    assert isinstance(told, Evidence)
    # at most 30.02: only the lower limit is open; 29.99 would leave 30.00 undecided no longer
    assert next_blade(told, shaft, BladeSet(RINGS, rings=True)) == (a("29.99 mm"),)
    whole = gathered([ring_goes(a("30.02 mm")), ring_does_not_go(a("29.99 mm"))], "mm")
    assert isinstance(whole, Evidence)
    assert next_blade(whole, limits("30.00 mm", "30.01 mm"), BladeSet(RINGS, rings=True)) in (
        (a("30.00 mm"),), (a("30.01 mm"),)
    )  # fmt: skip


@settings(max_examples=150)
@given(st.integers(0, 80), st.integers(0, 60), st.integers(0, 30))
def test_rings_tried_as_proposed_narrow_every_shaft_to_a_true_verdict(
    size: int, low: int, width: int
) -> None:
    """Every shaft in thousandths from 29.98 to 30.06, against what its true size would tell."""
    shaft = Fraction(29980 + size, 1000)
    allowed = Limits(
        Amount(Fraction(29990 + low, 1000), "mm"), Amount(Fraction(29990 + low + width, 1000), "mm")
    )
    known_ = Evidence("mm")
    tried: set[Fraction] = set()
    while (proposed := next_blade(known_, allowed, BladeSet(RINGS, rings=True))) is not None:
        (ring,) = proposed
        assert ring.value not in tried, "a ring that had been tried was named again"
        tried.add(ring.value)
        seen = ring_goes(ring) if shaft <= ring.value else ring_does_not_go(ring)
        narrowed = known_.with_(seen)
        assert narrowed is not None
        known_ = narrowed
    assert allows(known_, shaft)
    true = judge(Indication("eq", Amount(shaft, "mm")), allowed, "mm").verdict
    assert known_.verdict(allowed) in (true, "undecided")


def test_the_uncertainty_of_the_blades_leaves_room_at_both_ends() -> None:
    # ISO 14253-1: in when clear of the limits by U, out when clear of them by U
    gap = limits("2 thou", "4 thou")
    half = a("0.5 thou")
    for low, high, simple, guarded in (
        ("2 thou", "4 thou", "in", "undecided"),
        ("2.5 thou", "3.5 thou", "in", "in"),
        ("2.4 thou", "3.5 thou", "in", "undecided"),
        ("2.5 thou", "3.6 thou", "in", "undecided"),
        ("4.1 thou", "5 thou", "out", "undecided"),
        ("4.6 thou", "5 thou", "out", "out"),
        ("1 thou", "1.6 thou", "out", "undecided"),
        ("1 thou", "1.4 thou", "out", "out"),
    ):
        told = known(goes(a(low)), does_not_go(a(high)))
        assert told.verdict(gap) == simple, (low, high)
        assert told.verdict(gap, half) == guarded, (low, high)
    one_end = known(goes(a("4.6 thou")))
    assert one_end.verdict(gap, half) == "out"
    assert known(does_not_go(a("1.4 thou"))).verdict(gap, half) == "out"


def test_with_uncertain_blades_the_next_one_is_where_the_guarded_verdict_turns() -> None:
    blades = tuple(a(f"{size} thou") for size in ("2", "2.5", "3", "3.5", "4", "4.5"))
    told = known(goes(a("2.5 thou")))
    assert next_blade(told, limits("2 thou", "4 thou"), BladeSet(blades)) == (a("4 thou"),)
    guarded = next_blade(told, limits("2 thou", "4 thou"), BladeSet(blades), a("0.5 thou"))
    assert guarded in ((a("3.5 thou"),), (a("4.5 thou"),))


def test_a_ring_of_the_size_that_is_known_tells_nothing_new() -> None:
    shaft = limits("30.00 mm", "30.02 mm")
    told = gathered([ring_does_not_go(a("30.01 mm"))], "mm")
    assert isinstance(told, Evidence)
    assert next_blade(told, shaft, BladeSet((a("30.01 mm"),), rings=True)) is None
    exact = gathered([Indication("ge", a("30.01 mm"))], "mm")
    assert isinstance(exact, Evidence)
    # 30.01 or more: a ring of 30.01 that goes would leave 30.01 alone, which is within limits
    assert next_blade(exact, shaft, BladeSet((a("30.01 mm"),), rings=True)) == (a("30.01 mm"),)
