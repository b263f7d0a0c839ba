"""Limits in the other unit system: never wider than written, and never much narrower."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.procedure.loader import find_procedures
from assistant.procedure.unit_translation import TranslationError, inward, translations
from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.limits import Limits
from tests.shipped import shipped

SHIPPED = {p.stem: p for p in find_procedures() if p.stem.startswith("kb2_")}


def between(low: str, high: str) -> Limits:
    return Limits(parse_amount(low), parse_amount(high))


def test_known_conversions_round_inward() -> None:
    """1 in = 25.4 mm and 1 lbf ft = 1.355 818 N m (NIST SP 811, Appendix B)."""
    assert str(inward(between("1.5 thou", "4 thou"), "mm", Fraction(1, 1000))) == (
        "0.039 mm to 0.101 mm"  # exactly 0.0381 to 0.1016
    )
    assert str(inward(between("11 lbf*ft", "13 lbf*ft"), "N*m", Fraction(1, 2))) == (
        "15 N*m to 17.5 N*m"  # 14.91 to 17.63
    )
    assert str(inward(between("25.4 mm", "50.8 mm"), "in", Fraction(1, 10000))) == "1 in to 2 in"


def test_limits_too_narrow_for_the_graduation_are_refused() -> None:
    with pytest.raises(TranslationError, match="No graduation of 1 mm"):
        inward(between("1.5 thou", "4 thou"), "mm", Fraction(1))


def test_one_sided_limits_stay_one_sided() -> None:
    assert inward(Limits(None, parse_amount("2 thou")), "mm", Fraction(1, 1000)) == Limits(
        None, Amount(Fraction(50, 1000), "mm")
    )


@settings(max_examples=150, deadline=None)
@given(
    st.decimals("-50", "50", places=3), st.decimals("0", "50", places=3),
    st.sampled_from([("thou", "mm"), ("mm", "in"), ("um", "tenth"), ("lbf*ft", "N*m"),
                     ("degF", "degC"), ("degC", "degF")]),
    st.sampled_from([Fraction(1, 1000), Fraction(1, 2), Fraction(1)]),
)  # fmt: skip
def test_a_translation_lies_within_what_was_written(
    low: Decimal, width: Decimal, units: tuple[str, str], graduation: Fraction
) -> None:
    written = between(f"{low} {units[0]}", f"{low + width} {units[0]}")
    assert written.lower is not None
    assert written.upper is not None
    ends = (written.lower.to(units[1]).value, written.upper.to(units[1]).value)
    try:
        found = inward(written, units[1], graduation)
    except TranslationError:
        assert ends[1] - ends[0] < graduation
        return
    assert found.lower is not None
    assert found.upper is not None
    assert ends[0] <= found.lower.value < ends[0] + graduation
    assert ends[1] - graduation < found.upper.value <= ends[1]


@pytest.mark.parametrize("name", sorted(SHIPPED))
def test_every_foreign_limit_of_a_demo_is_translated_and_none_is_loosened(name: str) -> None:
    procedure = shipped(name)
    both = [t for system in ("inch", "metric") for t in translations(procedure, system)]
    assert both
    for found in both:
        for new, old, sign in (
            (found.translated.lower, found.written.lower, 1),
            (found.translated.upper, found.written.upper, -1),
        ):
            assert (new is None) == (old is None)
            if new is not None and old is not None:
                assert sign * (new.to(old.unit).value - old.value) >= 0


def test_the_words_name_both() -> None:
    procedure = shipped("kb2_input_shaft")
    lines = [str(t) for t in translations(procedure, "metric")]
    assert "end_float: end float 1.5 thou to 4 thou becomes 0.039 mm to 0.101 mm" in lines
    assert "cap_torque: torque 11 lbf*ft to 13 lbf*ft becomes 15 N*m to 17.5 N*m" in lines
