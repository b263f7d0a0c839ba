"""The linter on shims, adapters, prevailing torque and bolts: each slip is reported at its step."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.procedure.lint import Finding, lint
from assistant.procedure.models import Procedure
from assistant.quantities.amount import Amount
from assistant.quantities.limits import Limits
from assistant.quantities.shims import ShimGap, ShimStack, ShimStock, choose_shims
from tests.procedure.kit import Change, Data, at_step, both, on, sound_data, spoiled, step_of


def fitting(data: Data) -> None:
    """Add a shim set, a shims step after the gap, and an adapter, drag and bolt; all sound."""
    data["gauges"].append(
        {"id": "rings", "kind": "shim_set", "name": "Shim rings", "unit": "thou",
         "resolution": "1 thou", "members": ["1 thou", "1 thou", "2 thou"]}
    )  # fmt: skip
    shims = {
        "id": "shims", "kind": "shims", "title": "Rings", "say": "Fit the rings.",
        "quantity": "float", "unit": "thou", "gap": "gap", "stock": "rings",
        "lower": "1 thou", "upper": "3 thou", "cautions": ["Shims cut. Wear gloves."],
    }  # fmt: skip
    data["steps"].insert(6, shims)
    # 5/16-18 grade 5 lubricated: 12 lbf*ft is some 70 % of proof
    step_of(data, "bolts").update(
        adapter={"length": "12 in", "extension": "2 in", "angle": "90 deg"},
        prevailing="1 lbf*ft",
        bolt={"thread": "5/16-18", "grade": "grade 5"},
    )


def arm(**fields: str) -> Change:
    return lambda data: step_of(data, "bolts")["adapter"].update(fields)


def rings(**fields: Any) -> Change:
    return lambda data: data["gauges"][-1].update(fields)


def found_after(tmp_path: Path, change: Change) -> list[Finding]:
    return spoiled(tmp_path, both(fitting, change))


def test_sound_fitting_has_no_finding(tmp_path: Path) -> None:
    assert spoiled(tmp_path, fitting) == []


def swap_gap(data: Data) -> None:
    steps = data["steps"]
    i, j = (next(k for k, s in enumerate(steps) if s["id"] == x) for x in ("gap", "shims"))
    steps[i], steps[j] = steps[j], steps[i]


ERRORS: list[tuple[str, Change, str, str]] = [
    ("guarded", on("shims", rule="guarded"), "shims", "states no uncertainty"),
    ("gap unknown", on("shims", gap="gapp"), "shims", "did you mean 'gap'"),
    ("gap no value", on("shims", gap="lock"), "shims", "step of kind caution without a value"),
    ("gap later", swap_gap, "shims", "comes no earlier"),
    ("stock unknown", on("shims", stock="ring"), "shims", "did you mean 'rings'"),
    ("stock a dial", on("shims", stock="dial"), "shims", "is a dial indicator, not a shim set"),
    ("stock empty", rings(members=[]), "shims", "lists no shims"),
    ("stock without thickness", rings(members=["0 thou", "1 thou"]), "shims", "no thickness"),
    ("no lower", on("shims", lower=None), "shims", "give 'lower' and 'upper'"),
    ("no upper", on("shims", upper=None), "shims", "give 'lower' and 'upper'"),
    ("upside down", on("shims", lower="4 thou"), "shims", "limits are upside down"),
    ("weight", on("shims", unit="kg", lower="1 kg", upper="2 kg"), "shims", "not in kg"),
    ("limit of weight", on("shims", upper="2 kg"), "shims", "does not fit the step's unit"),
    ("length of time", arm(length="12 s"), "bolts", "adapter's length 12 s is not a length"),
    ("length zero", arm(length="0 in"), "bolts", "adapter's length 0 in is not above zero"),
    ("extension zero", arm(extension="0 in"), "bolts", "adapter's extension 0 in is not above"),
    ("angle a length", arm(angle="3 in"), "bolts", "not an angle"),
    ("past the hand", arm(extension="12 in", angle="180 deg"), "bolts", "back past the hand"),
    (
        "under the wrench once corrected",  # half of 12 with 12/(12+12), and the drag
        both(arm(extension="12 in", angle="0 deg"), on("bolts", prevailing="0 lbf*ft")),
        "bolts",
        "pass 0.5 is under the range",
    ),
    (
        "over the wrench once corrected",  # 13 x 12 / (12 - 6) = 26
        arm(extension="6 in", angle="180 deg"),
        "bolts",
        "set as 26 lbf[*]ft.* over the range",
    ),
    (
        "no mark within the tolerance",  # (12 + 1) x 12/14 = 11.14, marks at 10 and 15
        both(
            arm(angle="0 deg"),
            lambda d: d["gauges"][1].update(resolution="5 lbf*ft"),
        ),
        "bolts",
        "nearest mark",
    ),
    ("prevailing a length", on("bolts", prevailing="2 in"), "bolts", "2 in is not a torque"),
    ("prevailing below zero", on("bolts", prevailing="-1 lbf*ft"), "bolts", "under zero"),
    ("same mark twice", on("bolts", passes=["0.98", "1"]), "bolts", "same mark of the tool"),
    (
        "thread unknown",
        on("bolts", bolt={"thread": "M8.5.2", "grade": "8.8"}),
        "bolts",
        "not a known thread",
    ),
    (
        "class unknown",
        on("bolts", bolt={"thread": "M8", "grade": "8.9"}),
        "bolts",
        "not a known property class",
    ),
    (
        "class not so thick",
        on("bolts", bolt={"thread": "1 3/4-5", "grade": "grade 5"}),
        "bolts",
        "does not cover 1.75 in",
    ),
    (
        "class of metric threads on a number size",
        on("bolts", bolt={"thread": "10-32", "grade": "12.9"}),
        "bolts",
        "ISO 898-1 does not cover 0.19 in with 32 threads",
    ),
    (
        "class beyond its sizes",
        on("bolts", bolt={"thread": "M20", "grade": "9.8"}),
        "bolts",
        "class 9.8 ends at M16",
    ),
]

WARNINGS: list[tuple[str, Change, str, str]] = [
    ("gap left out", on("gap", when={"parts": "new"}), "shims", "may be left out"),
    ("no caution", on("shims", cautions=None, say="Fit the shims."), "shims", "sharp shims"),
    (
        "one gap cannot be closed",  # 2 to 6 less 0 or 2 leaves 3.5 to 4 for none
        both(rings(members=["4 thou"]), on("shims", upper="2 thou")),
        "shims",
        "gap of about 3.5 thou is possible .* no stack of 'rings'",
    ),
    ("nothing closes", rings(members=["50 thou"]), "shims", "is possible"),
    (
        "no gap at all can be closed",
        on("shims", lower="8 thou", upper="9 thou"),
        "shims",
        "bring no gap of 'gap'",
    ),
    ("swapped lengths", arm(length="2 in", extension="12 in"), "bolts", "longer than the wrench"),
    ("swapped drag", on("bolts", prevailing="12 lbf*ft"), "bolts", "no less than the target"),
    (
        "little",
        on("bolts", bolt={"thread": "M12", "grade": "12.9"}),
        "bolts",
        "which is little; check the torque",
    ),
    (
        "past proof",
        on("bolts", bolt={"thread": "M6", "grade": "4.6"}),
        "bolts",
        "stretch it for good",
    ),
]


@pytest.mark.parametrize(("change", "step", "words"), [c[1:] for c in ERRORS],
                         ids=[c[0] for c in ERRORS])  # fmt: skip
def test_an_error_is_told_at_its_step(
    tmp_path: Path, change: Change, step: str, words: str
) -> None:
    found = found_after(tmp_path, change)
    assert at_step(found, "error", step, words), found
    assert all(f.line > 0 for f in found if f.level == "error")


@pytest.mark.parametrize(("change", "step", "words"), [c[1:] for c in WARNINGS],
                         ids=[c[0] for c in WARNINGS])  # fmt: skip
def test_a_warning_is_told_at_its_step(
    tmp_path: Path, change: Change, step: str, words: str
) -> None:
    found = found_after(tmp_path, change)
    assert at_step(found, "warning", step, words), found


def test_a_gap_that_is_no_length_is_told(tmp_path: Path) -> None:
    def change(data: Data) -> None:
        step_of(data, "gap").update(unit="N*m", gauge="wrench")
        step_of(data, "gap").update(
            lower="2 N*m", upper="6 N*m", plausible_low="0 N*m", plausible_high="30 N*m"
        )

    assert any("which is not a length" in f.message for f in found_after(tmp_path, change))


def test_a_derived_value_may_use_what_the_shims_leave(tmp_path: Path) -> None:
    def change(data: Data) -> None:
        after = {
            "id": "after", "kind": "derived", "title": "After", "say": "So much is left.",
            "quantity": "float", "unit": "um", "formula": "float", "inputs": {"float": "shims"},
            "upper": "100 um",
        }  # fmt: skip
        data["steps"].insert(7, after)

    assert found_after(tmp_path, change) == []


def test_a_little_torque_before_a_turn_by_angle_is_no_slip(tmp_path: Path) -> None:
    change = on("bolts", bolt={"thread": "M10", "grade": "10.9"}, angle="60 deg")
    assert [f for f in found_after(tmp_path, change) if "proof load" in f.message] == []


@settings(max_examples=120, deadline=None)
@given(
    st.lists(st.integers(1, 12), min_size=1, max_size=5),
    st.integers(0, 20), st.integers(0, 20), st.integers(0, 8), st.integers(0, 8),
)  # fmt: skip
def test_the_check_warns_when_and_only_when_some_gap_cannot_be_closed(
    shims: list[int], start: int, wide: int, lower: int, width: int
) -> None:
    """Brute force: every gap on a grid finer than the shims is put to the search of the bench."""
    data = sound_data()
    fitting(data)
    rings(members=[f"{s} thou" for s in shims])(data)
    on("gap", lower=f"{start} thou", upper=f"{start + wide} thou", plausible_high="90 thou")(data)
    on("shims", lower=f"{lower} thou", upper=f"{lower + width} thou")(data)
    found = [f for f in lint(Procedure.model_validate(data)) if f.step == "shims"]
    warned = any("no stack of" in f.message or "bring no gap" in f.message for f in found)
    limits = Limits(Amount(Fraction(lower), "thou"), Amount(Fraction(lower + width), "thou"))
    stock = [ShimStock(Amount(Fraction(s), "thou"), 1) for s in shims]
    gaps = [Amount(Fraction(start) + Fraction(k, 2), "thou") for k in range(2 * wide + 1)]
    closed = [isinstance(choose_shims(ShimGap(g), limits, stock), ShimStack) for g in gaps]
    assert warned == (not all(closed))
