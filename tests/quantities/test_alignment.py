"""Alignment by dials, against the geometry of two shafts in space, and a maker's worked example."""

from __future__ import annotations

from fractions import Fraction
from math import cos, hypot, pi, sin, sqrt

import pytest

from assistant.quantities.amount import Amount, parse_amount
from assistant.quantities.formula import FormulaError, evaluate

Vector = tuple[float, float, float]


def rim_reading(height: float, slope: float, angle: float, radius: float, sag: float) -> float:
    """What a dial on the rim of a shaft shows, at ``angle`` from the top.

    The bracket turns about the z axis. The other shaft lies ``height`` above it at the dial and
    leans by ``slope``; its section there is an ellipse, worked out without any small angle. The
    bracket sags by ``sag`` where it stands above, so much away from the rim where it hangs below.
    """
    # from the bracket's axis along the plunger, where does it meet the rim?
    up, side = cos(angle), sin(angle)
    lean = sqrt(1 + slope * slope)
    # points (side t, up t) with ((up t - height) / lean)^2 + (side t)^2 = radius^2
    a, b = (up / lean) ** 2 + side**2, -2 * up * height / lean**2
    c = (height / lean) ** 2 - radius**2
    t = (-b + sqrt(b * b - 4 * a * c)) / (2 * a)
    return t + sag * cos(angle)


def face_reading(slope: float, angle: float, radius: float) -> float:
    """What a dial on the face shows there, its plunger along the bracket's axis towards the back.

    The face stands square to a shaft that rises by ``slope`` towards the back: its top leans
    towards the coupling, and the plunger is pushed in there.
    """
    return radius * cos(angle) * slope


def computed(formula: str, unit: str, **lengths: Fraction) -> Fraction:
    """What a formula over lengths in millimetres gives in ``unit``."""
    return evaluate(formula, {n: Amount(v, "mm") for n, v in lengths.items()}, unit).value


def rim_offset(zeroed: Fraction, opposite: Fraction, sag: Fraction = Fraction(0)) -> Fraction:
    return computed("rim_offset(top, bottom, sag)", "mm", top=zeroed, bottom=opposite, sag=sag)


def standing_offset(zeroed: Fraction, opposite: Fraction, sag: Fraction = Fraction(0)) -> Fraction:
    return computed("standing_offset(top, bottom, sag)", "mm", top=zeroed, bottom=opposite, sag=sag)


def face_slope(zeroed: Fraction, opposite: Fraction, diameter: Fraction) -> Fraction:
    """In mm/m, as it is recorded."""
    return computed("face_slope(top, bottom, d)", "mm/m", top=zeroed, bottom=opposite, d=diameter)


def foot_move(offset: Fraction, slope: Fraction, distance: Fraction) -> Fraction:
    inputs = {"offset": Amount(offset, "mm"), "slope": Amount(slope, "mm/m"),
              "distance": Amount(distance, "mm")}  # fmt: skip
    return evaluate("foot_move(offset, slope, distance)", inputs, "mm").value


def exact(value: float) -> Fraction:
    return Fraction(value).limit_denominator(10**12)


@pytest.mark.parametrize("height", [-0.4, -0.05, 0.0, 0.1, 0.4])
@pytest.mark.parametrize("slope", [-0.001, 0.0, 0.0007])
def test_the_moves_bring_two_shafts_of_any_position_into_line(height: float, slope: float) -> None:
    """The shaft is at ``height`` at the rim dial and rises towards the back: a foot at ``d`` lies
    at ``height + slope * d``, and has to go down by just that."""
    sag, radius = 0.08, 60.0
    top, bottom = (rim_reading(height, slope, a, radius, sag) for a in (0.0, pi))
    bar_top, bar_bottom = (rim_reading(0.0, 0.0, a, radius, sag) for a in (0.0, pi))
    sag_read = exact(bar_bottom - bar_top)
    assert sag_read < 0  # set to zero at the top, the dial goes below it
    offset = rim_offset(Fraction(0), exact(bottom - top), sag_read)
    assert float(offset) == pytest.approx(-height, abs=1e-9)
    face = [face_reading(slope, a, radius) for a in (0.0, pi)]
    lean = face_slope(exact(face[0]), exact(face[1]), exact(2 * radius))
    for distance in (150.0, 420.0):
        move = float(foot_move(offset, lean, exact(distance)))
        assert move == pytest.approx(-(height + slope * distance), abs=1e-7)


@pytest.mark.parametrize(("height", "slope"), [(0.2, 0.0005), (-0.1, 0.0004), (0.0, -0.001)])
def test_two_dials_give_the_same_moves(height: float, slope: float) -> None:
    """``height`` at the dial on the half that stays, 120 mm in front of the other."""
    sag, radius, apart = 0.05, 55.0, 120.0
    at_moved = height + slope * apart
    moved = [rim_reading(at_moved, slope, a, radius, sag) for a in (0.0, pi)]
    # from the moved shaft the standing one lies as much lower
    standing = [rim_reading(-height, -slope, a, radius, sag) for a in (0.0, pi)]
    sag_read = exact(-2 * sag)
    near = rim_offset(exact(moved[0]), exact(moved[1]), sag_read)
    far = standing_offset(exact(standing[0]), exact(standing[1]), sag_read)
    assert float(near) == pytest.approx(-at_moved, abs=1e-7)
    assert float(far) == pytest.approx(-height, abs=1e-7)
    lean = computed("(near - far) / apart", "mm/m", near=near, far=far, apart=exact(apart))
    move = float(foot_move(near, lean, exact(300.0)))
    assert move == pytest.approx(-(at_moved + slope * 300), abs=1e-5)


def test_the_shim_of_a_makers_worked_example() -> None:
    """A maker's start-up manual of centrifugal machines, "Correcting angular misalignment": face
    diameter 5 in, 30 in between front and rear bolts, net misalignment 0.012 in; the shim under
    the rear feet is 0.072 in (30 / 5 times 0.012). The same is what the rear moves beyond the
    front.
    """
    slope = face_slope(Fraction(0), Fraction("0.012"), Fraction(5))
    front = foot_move(Fraction(0), slope, Fraction(7))
    rear = foot_move(Fraction(0), slope, Fraction(37))
    assert rear - front == Fraction("0.072")


def test_the_formula_of_the_trade_with_the_bracket_on_the_moved_half() -> None:
    """ "Formula for Face and Rim Alignment Calculation" (a work sheet of unknown author, on
    fdocuments.us): F = bf B / D - br / 2, positive is up, both dials zeroed at the top. There the
    bracket is on the machine that is moved, so the rim shows the other sign; the face the same.
    """
    bf, br, diameter = Fraction("0.006"), Fraction("0.010"), Fraction(4)
    for distance in (Fraction(8), Fraction(20)):
        theirs = bf * distance / diameter - br / 2
        offset = standing_offset(Fraction(0), br)
        assert foot_move(offset, face_slope(Fraction(0), bf, diameter), distance) == theirs


def amounts(**texts: str) -> dict[str, Amount]:
    return {name: parse_amount(text) for name, text in texts.items()}


def test_a_formula_gives_offset_slope_and_moves_with_their_units() -> None:
    given = amounts(six="0.32 mm", twelve="0 mm", sag="-0.08 mm", low="0.06 mm", high="0 mm")
    offset = evaluate("rim_offset(twelve, six, sag)", given, "mm")
    assert offset == Amount(Fraction("0.2"), "mm")
    slope = evaluate("face_slope(high, low, '120 mm')", given, "mm/m")
    assert slope == Amount(Fraction("0.5"), "mm/m")
    feet = {"offset": offset, "slope": slope}
    move = evaluate("foot_move(offset, slope, '400 mm')", feet, "mm")
    assert move == Amount(Fraction("0.4"), "mm")


def test_two_dials_in_a_formula() -> None:
    given = amounts(a="0.30 mm", b="-0.10 mm", zero="0 mm", sag="-0.02 mm")
    near = evaluate("rim_offset(zero, a, sag)", given, "mm")
    far = evaluate("standing_offset(zero, b, sag)", given, "mm")
    assert (near.value, far.value) == (Fraction("0.16"), Fraction("0.04"))
    slope = evaluate("(near - far) / '150 mm'", {"near": near, "far": far}, "mm/m")
    assert slope == Amount(Fraction("0.8"), "mm/m")


@pytest.mark.parametrize(
    ("formula", "told"),
    [
        ("rim_offset(six, twelve)", "takes three lengths"),
        ("face_slope(twelve, six, six - six)", "divides_by_zero"),
        ("foot_move(six, six, '1 mm')", "an offset, a slope and a distance"),
        ("face_slope(twelve, six, '2 N*m')", "takes three lengths"),
        ("standing_offset(twelve, six, 1)", "takes three lengths"),
        ("face_slope(twelve, six, six)", "does not give 'mm'"),
    ],
)
def test_what_cannot_be_aligned_is_told(formula: str, told: str) -> None:
    given = amounts(six="0.3 mm", twelve="0 mm")
    with pytest.raises(FormulaError, match=told):
        evaluate(formula, given, "mm")


def test_the_plane_of_the_dials_does_not_matter_for_a_runout() -> None:
    """A shaft that is high and to the side: vertical and horizontal moves make up its offset."""
    height, side = Fraction(3, 100), Fraction(4, 100)
    up = rim_offset(height, -height)
    across = rim_offset(side, -side)
    assert hypot(float(up), float(across)) == pytest.approx(0.05)
