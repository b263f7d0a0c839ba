"""The linter: a sound procedure passes in silence, and each slip is reported where it stands."""

from __future__ import annotations

import copy
from pathlib import Path
from typing import Any

import pytest

from assistant.procedure.lint import Finding, lint
from assistant.procedure.models import Procedure
from tests.dialogue.kit import procedure as made_procedure
from tests.procedure.kit import Change, Data, at_step, both, on, sound, sound_data, spoiled, step_of


def on_gauge(place: int, **fields: Any) -> Change:
    return lambda data: data["gauges"][place].update(fields)


def swap(one: str, other: str) -> Change:
    def change(data: Data) -> None:
        steps = data["steps"]
        i, j = (next(k for k, s in enumerate(steps) if s["id"] == x) for x in (one, other))
        steps[i], steps[j] = steps[j], steps[i]

    return change


def without(*steps: str) -> Change:
    return lambda data: data.update(steps=[s for s in data["steps"] if s["id"] not in steps])


@pytest.mark.uncounted
def test_the_sound_procedure_has_no_finding() -> None:
    assert lint(sound()) == []


def test_a_value_without_limits_is_judged_by_what_is_computed_from_it() -> None:
    """Here the spread of the gaps has a limit; the gaps themselves need none."""
    data = sound_data()
    on("gap", lower=None, upper=None)(data)
    assert lint(Procedure.model_validate(data)) == []


ERRORS: list[tuple[str, Change, str, str]] = [
    # limits and units
    ("upside down", on("gap", lower="6 thou", upper="2 thou"), "gap", "limits are upside down"),
    ("limit of weight", on("gap", upper="2 kg"), "gap", "'upper' 2 kg does not fit"),
    ("plausible of time", on("gap", plausible_low="2 s"), "gap", "'plausible_low' 2 s does not"),
    ("band upside down", on("gap", plausible_low="40 thou"), "gap", "band is upside down"),
    ("band too low", on("gap", plausible_high="4 thou"), "gap", "above 'plausible_high'"),
    ("band too high", on("gap", plausible_low="3 thou"), "gap", "below 'plausible_low'"),
    ("step unit", on("gap", unit="N*m"), "gap", "does not fit the step's unit"),
    (
        "gauge unit",
        both(on("gap", gauge="wrench")),
        "gap",
        "reads lbf[*]ft, but the step's unit is thou",
    ),
    (
        "guarded computed",
        both(on("spread", rule="guarded"), lambda d: d["gauges"][0].pop("uncertainty")),
        "spread",
        "dial states no uncertainty",
    ),
    ("quarter turns of two", on("spread", combine="quarter_turns"), "spread", "at four positions"),
    ("gauge resolution", on_gauge(0, resolution="1 s"), "", "resolution 1 s of gauge 'dial'"),
    ("gauge resolution zero", on_gauge(0, resolution="0 thou"), "", "not above zero"),
    ("gauge range", on_gauge(0, lower="200 thou"), "", "upside down"),
    ("gauge members", on_gauge(0, members=["1 kg"]), "", "members 1 1 kg"),
    (
        "guard without uncertainty",
        both(on("gap", rule="guarded"), lambda d: d["gauges"][0].pop("uncertainty")),
        "gap",
        "states no uncertainty",
    ),
    (
        "guard leaves nothing",
        both(on("gap", rule="guarded"), on_gauge(0, uncertainty="2 thou")),
        "gap",
        "leaves nothing",
    ),
    # tightening
    ("no torque", on("bolts", target="12 thou"), "bolts", "is not a torque"),
    ("zero torque", on("bolts", target="0 lbf*ft"), "bolts", "target torque is 0"),
    ("tolerance kind", on("bolts", tolerance="1 deg"), "bolts", "tolerance 1 deg is not a torque"),
    ("tolerance size", on("bolts", tolerance="12 lbf*ft"), "bolts", "between zero and the target"),
    ("passes falling", on("bolts", passes=["0.75", "0.5", "1"]), "bolts", "must rise"),
    ("passes short", on("bolts", passes=["0.5", "0.9"]), "bolts", "last pass must be 1"),
    ("passes over", on("bolts", passes=["0.5", "1.1"]), "bolts", "over 1"),
    ("passes zero", on("bolts", passes=["0", "1"]), "bolts", "not above zero"),
    ("cross of three", on("bolts", fasteners=["a", "two", "six"]), "bolts", "at least 4"),
    ("two rows", on("bolts", pattern="two_row", fasteners=["a", "two", "six", "nine", "ten"]),
     "bolts", "even number"),
    ("lubricant missing", on("bolts", lubricant=None), "bolts", "no lubricant is named"),
    ("lubricant on dry", on("bolts", thread="dry"), "bolts", "thread is dry"),
    ("lubricant unknown", on("bolts", lubricant="oli"), "bolts", "did you mean 'oil'"),
    ("over the wrench", on("bolts", target="30 lbf*ft"), "bolts", "over the range"),
    ("under the wrench", on("bolts", target="4 lbf*ft"), "bolts", "under the range"),
    ("pass under the wrench", on("bolts", target="8 lbf*ft"), "bolts", "pass 0.5 is under"),
    ("no wrench", on("bolts", tool="dial"), "bolts", "not a torque wrench"),
    ("unknown wrench", on("bolts", tool="wrnch"), "bolts", "did you mean 'wrench'"),
    (
        "rounded out of tolerance",
        both(on_gauge(1, resolution="5 lbf*ft"), on("bolts", tolerance="1 lbf*ft")),
        "bolts",
        "nearest mark",
    ),
    (
        "rounded without a tolerance",
        both(on_gauge(1, resolution="5 lbf*ft"), on("bolts", tolerance=None)),
        "bolts",
        "more than the tolerance taken where none is given",
    ),
    ("angle of length", on("bolts", angle="3 mm"), "bolts", "is not an angle"),
    ("angle zero", on("bolts", angle="0 deg"), "bolts", "angle is not above zero"),
    # waits and order
    ("duration of torque", on("cure", duration="3 N*m"), "cure", "is not a time"),
    ("duration zero", on("cure", duration="0 min"), "cure", "not above zero"),
    ("meanwhile unknown", on("cure", meanwhile=["tidyy"]), "cure", "did you mean 'tidy'"),
    ("meanwhile before", on("cure", meanwhile=["gap"]), "cure", "does not come after"),
    ("meanwhile after", on("tidy", after=["cure"]), "cure", "names this wait"),
    ("after unknown", on("hold", after=["curre"]), "hold", "did you mean 'cure'"),
    ("after later", on("gap", after=["tidy"]), "gap", "comes later"),
    ("after itself", on("gap", after=["gap"]), "gap", "names itself"),
    ("ring", both(on("gap", after=["bolts"]), on("bolts", after=["gap"])), "gap", "break the ring"),
    # conditions
    ("choice unknown", on("tidy", when={"choice": {"seel": "lip"}}), "tidy", "mean 'seal'"),
    ("option unknown", on("tidy", when={"choice": {"seal": "lipp"}}), "tidy", "mean 'lip'"),
    ("no choice", on("tidy", when={"choice": {"gap": "lip"}}), "tidy", "not a choice"),
    ("choice later", swap("seal", "place"), "place", "comes no earlier"),
    ("no reading", on("tidy", when={"reading": {"seal": "in"}}), "tidy", "not a measurement"),
    (
        "never out",
        both(on("gap", lower=None, upper=None), on("tidy", when={"reading": {"gap": "out"}})),
        "tidy",
        "never out",
    ),
    ("variant unknown", on("tidy", when={"variant": ["standrad"]}), "tidy", "mean 'standard'"),
    (
        "parts not covered",
        both(
            on("tidy", when={"parts": "reused"}),
            lambda d: d["applicability"].update(parts=["new"]),
        ),
        "tidy",
        "can never be reached",
    ),
    (
        "contrary variants",
        both(
            on("seal", when={"variant": ["standard"]}),
            on("place", when={"variant": ["long_shaft"], "choice": {"seal": "lip"}}),
        ),
        "place",
        "can never be reached: .* different variants",
    ),
    (
        "contrary parts",
        both(
            on("seal", when={"parts": "new"}),
            on("place", when={"parts": "reused", "choice": {"seal": "lip"}}),
        ),
        "place",
        "new and for reused",
    ),
    (
        "contrary answers two steps away",
        both(
            on("gap", when={"choice": {"seal": "lip"}}),
            on("tidy", when={"choice": {"seal": "felt"}, "reading": {"gap": "out"}}),
        ),
        "tidy",
        "'seal' would have to be felt and lip",
    ),
    # derived values
    ("input unknown", on("spread", inputs={"gap": "gapp"}), "spread", "did you mean 'gap'"),
    ("input no value", on("spread", inputs={"gap": "lock"}), "spread", "without|has no value"),
    ("input later", swap("gap", "spread"), "spread", "comes no earlier"),
    ("unbound", on("spread", formula="gap - gab"), "spread", "'gab' in the formula is not bound"),
    ("no formula", on("spread", formula="gap -"), "spread", "formula"),
    ("area", on("spread", formula="gap * gap"), "spread", "formula|kind"),
    ("added number", on("spread", formula="gap + 1"), "spread", "formula|kind"),
    ("power", on("spread", formula="gap ** 2"), "spread", "formula"),
    # spoken words
    (
        "twin options",
        on("seal", options=[{"id": "a", "say": "felt"}, {"id": "b", "say": "felt"}]),
        "seal",
        "sound the same",
    ),
    (
        "homophones",
        on("seal", options=[{"id": "a", "say": "plain"}, {"id": "b", "say": "plane"}]),
        "seal",
        "sound the same",
    ),
    ("twin positions", on("gap", positions=["top", "top"]), "gap", "sound the same"),
    ("position in digits", on("gap", positions=["12", "6"]), "gap", "one to five words"),
    ("label in digits", on("bolts", fasteners=["1", "2", "3", "4"]), "bolts", "one to five"),
    ("a command", on("gap", positions=["go on", "top"]), "gap", "is a command"),
    ("no such language", lambda d: d.update(language="xx-XX"), "", "'xx-XX' is not installed"),
    ("no folder", lambda d: d.update(language="../en-US"), "", "is not installed"),
    # references, record, document
    ("gauge unknown", on("gap", gauge="dail"), "gap", "did you mean 'dial'"),
    ("part unknown", on("serial", part="shft"), "serial", "did you mean 'shaft'"),
    ("material unknown", on("tidy", materials=["oli"]), "tidy", "did you mean 'oil'"),
    ("marked, never read", without("serial"), "", "no identification step"),
    ("form no expression", on("serial", form="^KB[0-9{3}$"), "serial", "not a regular expression"),
    ("form in small", on("serial", form="^kb[0-9]{3}$"), "serial", "small letters"),
    ("note to the writer", on("tidy", say="TODO: tidy"), "tidy", "note to the writer"),
    (
        "governing revision",
        lambda d: d["governing"].update(revision="TBD"),
        "",
        "governing revision 'TBD' stands for none",
    ),
]  # fmt: skip

WARNINGS: list[tuple[str, Change, str, str]] = [
    (
        "no limit",
        both(on("gap", lower=None, upper=None), on("spread", upper=None)),
        "gap",
        "has no limit",
    ),
    ("no band", on("gap", plausible_high=None), "gap", "band is not closed"),
    ("both limits equal", on("gap", lower="6 thou"), "gap", "nothing else would pass"),
    ("coarse", on_gauge(0, resolution="0.5 thou"), "gap", "coarse: .* 8 times"),
    ("far too coarse", on_gauge(0, resolution="2 thou"), "gap", "far too coarse: .* only 2 times"),
    ("between marks", on("gap", upper="6.05 thou"), "gap", "falls between two marks"),
    ("out of the gauge's range", on_gauge(0, upper="5 thou"), "gap", "outside the range"),
    (
        "runout from quarter turns",
        both(on("gap", positions=["top", "right", "bottom", "left"]), on("spread", title="Runout")),
        "spread",
        "4 readings round a turn is not the total indicator reading: .* 29 % less; .*quarter_turns",
    ),
    (
        "runout from thirds",
        both(on("gap", positions=["top", "right", "left"]), on("spread", quantity="run-out")),
        "spread",
        "25 % less; turn the part",
    ),
    ("unused input", on("spread", inputs={"gap": "gap", "x": "gap"}), "spread", "'x' is not used"),
    (
        "input may be left out",
        on("gap", when={"parts": "new"}),
        "spread",
        "may be left out",
    ),
    ("no tolerance", on("bolts", tolerance=None), "bolts", "no tolerance"),
    ("one pass", on("bolts", passes=["1"]), "bolts", "single pass"),
    ("low in the range", on_gauge(1, upper="45 lbf*ft"), "bolts", "0.5 lies in the lowest fifth"),
    ("no range", lambda d: d["gauges"][1].pop("upper"), "bolts", "no range"),
    ("odd cross", on("bolts", fasteners=["one", "two", "three", "four", "six"]), "bolts", "'star'"),
    ("angle without gauge", on("bolts", angle="60 deg"), "bolts", "no angle gauge"),
    ("long wait", on("cure", duration="200 h"), "cure", "over a week"),
    ("no hold point", without("hold"), "", "No inspection step"),
    ("no caution", without("lock"), "bolts", "No caution at all"),
    ("hot", on("tidy", say="Heat the ring in the oven."), "tidy", "speaks of heat"),
    ("press", on("place", say="Press the seal in."), "place", "a press or puller"),
    ("long caution", on("tidy", cautions=["word " * 50]), "tidy", "one hazard"),
    ("unused oil", on("bolts", lubricant=None, thread="dry"), "", "'oil' is listed"),
    ("no form", on("serial", form=None), "serial", "no 'form'"),
    ("not marked", lambda d: d["parts"][0].update(marked="false"), "", "marked: true"),
    (
        "sound alike",
        on("seal", options=[{"id": "a", "say": "fifteen"}, {"id": "b", "say": "fifty"}]),
        "seal",
        "sound alike",
    ),
    ("near side", on("gap", positions=["near side", "rear side"]), "gap", "sound alike"),
    ("hub side", on("gap", positions=["hub side", "tub side"]), "gap", "sound alike"),
    ("north", on("gap", positions=["north", "fourth"]), "gap", "sound alike"),
    ("like a command", on("gap", positions=["top", "corrections"]), "gap", "like the command"),
    ("no dictionary word", on("gap", positions=["top", "kettlebeck"]), "gap", "dictionary"),
    (
        "meanwhile behind a caution",
        lambda d: d["steps"].insert(
            8, {"id": "hot", "kind": "caution", "title": "Hot", "say": "It is hot."}
        ),
        "cure",
        "the caution 'hot' stands before it",
    ),
]


@pytest.mark.parametrize(("change", "step", "words"), [c[1:] for c in ERRORS],
                         ids=[c[0] for c in ERRORS])  # fmt: skip
def test_an_error_is_told_at_its_step(
    tmp_path: Path, change: Change, step: str, words: str
) -> None:
    found = spoiled(tmp_path, change)
    assert at_step(found, "error", step, words), found
    assert all(f.line > 0 for f in found if f.level == "error")


@pytest.mark.parametrize(("change", "step", "words"), [c[1:] for c in WARNINGS],
                         ids=[c[0] for c in WARNINGS])  # fmt: skip
def test_a_warning_is_told_at_its_step(
    tmp_path: Path, change: Change, step: str, words: str
) -> None:
    found = spoiled(tmp_path, change)
    assert at_step(found, "warning", step, words), found


def test_a_second_round_over_the_same_fasteners_may_be_a_single_pass(tmp_path: Path) -> None:
    def change(data: Data) -> None:
        again = dict(copy.deepcopy(step_of(data, "bolts")), id="again", passes=["1"])
        data["steps"].insert(-1, again)

    assert spoiled(tmp_path, change) == []


def test_a_finding_names_the_line_of_the_key(tmp_path: Path) -> None:
    (finding,) = (
        f
        for f in spoiled(tmp_path, on("bolts", target="30 lbf*ft"))
        if "over the range" in f.message
    )
    text = (tmp_path / "spoiled.yaml").read_text().splitlines()
    assert "30 lbf*ft" in text[finding.line - 1]


def test_a_caution_named_in_the_words_is_not_a_hazard_when_negated(tmp_path: Path) -> None:
    assert spoiled(tmp_path, on("place", say="Fit the cap without shims.")) == []


def test_a_finding_prints_its_line_level_step_and_sentence() -> None:
    finding = Finding("error", "bolts", "The target torque is 0 N*m; give the real one.", line=12)
    assert str(finding) == (
        "line 12: error: step 'bolts': The target torque is 0 N*m; give the real one."
    )
    assert str(Finding("warning", "", "No hold point.")) == "warning: No hold point."


def test_a_guarded_computed_value_whose_gauges_state_their_uncertainty_is_no_fault() -> None:
    data = sound_data()
    on("spread", rule="guarded")(data)
    assert lint(Procedure.model_validate(data)) == []


def test_a_runout_read_in_one_sweep_or_by_quarter_turns_is_no_fault() -> None:
    data = sound_data()
    on("gap", positions=["top", "right", "bottom", "left"])(data)
    on("spread", title="Runout", combine="quarter_turns")(data)
    assert lint(Procedure.model_validate(data)) == []
    data = sound_data()
    on("gap", quantity="total runout", positions=None)(data)
    on("spread", formula="half(gap)", title="Eccentricity", combine="mean")(data)
    assert lint(Procedure.model_validate(data)) == []


def test_a_rise_in_temperature_is_a_difference() -> None:
    data = sound_data()
    data["gauges"][0] = {
        "id": "heat", "kind": "thermometer", "name": "Thermometer", "unit": "degC",
        "resolution": "0.5 delta_degC", "uncertainty": "1.8 degF",
    }  # fmt: skip
    on("gap", gauge="heat", unit="degC", lower="10 degC", upper="60 degC", plausible_low="-20 degC",
       plausible_high="90 degC")(data)  # fmt: skip
    on("spread", unit="delta_degC", upper="20 delta_degC")(data)
    assert lint(Procedure.model_validate(data)) == []
    on("spread", unit="degC", upper="20 degC")(data)
    assert any("does not give 'degC'" in f.message for f in lint(Procedure.model_validate(data)))


@pytest.mark.uncounted
def test_all_that_is_told_of_every_slip_is_as_it_was() -> None:
    from tests.procedure.told import GOLDEN, told  # which takes its slips from here, too

    assert list(told()) == GOLDEN.read_text(encoding="utf-8").splitlines(), (
        "if that is meant: python -m tests.procedure.told, and read the difference"
    )


def test_every_message_is_one_sentence_without_a_programmers_words() -> None:
    """Short enough to read, and it ends like a sentence; and nothing slips through."""
    from tests.procedure.told import GOLDEN

    text = GOLDEN.read_text(encoding="utf-8")
    lines = [line for line in text.splitlines() if line[0] != "#"]
    assert len(lines) > 150
    for line in lines:
        message = line.partition(": ")[2]
        assert message[-1] in ".?"
        assert len(message) < 280
        assert "None" not in message
        assert "Fraction" not in message
    for section in text.split("# ")[1:]:
        found = "\n" in section.strip()
        assert found != section.startswith("sound: "), section


@pytest.mark.parametrize(
    ("members", "upper", "told"),
    [
        (["0.05 mm", "0.1 mm", "0.2 mm"], "0.1 mm", []),
        (["0.05 mm", "0.1 mm", "0.2 mm"], "0.15 mm", []),  # two together
        (
            ["0.05 mm", "0.1 mm"],
            "0.13 mm",
            ["nor two of them together, is 0.13"],
        ),
    ],
)
def test_blades_are_asked_for_the_limits_not_for_graduations(
    members: list[str], upper: str, told: list[str]
) -> None:
    """A set in steps of 0.05 mm tells a limit of 0.1 mm well: its resolution is no graduation."""
    feelers = {"id": "set", "kind": "feeler", "name": "feeler set", "unit": "mm",
               "resolution": "0.05 mm", "members": members}  # fmt: skip
    step = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "mm", "gauge": "set",
            "upper": upper, "plausible_low": "0 mm", "plausible_high": "1 mm"}  # fmt: skip
    made = made_procedure(step, gauges=[feelers])
    found = [f.message for f in lint(made) if f.step == "gap"]
    assert [any(t in m for m in found) for t in told] == [True] * len(told)
    assert len(found) == len(told)


@pytest.mark.parametrize(
    ("stem", "told"),
    [
        ("0 deg", ""),
        ("5 deg", ""),  # 0.4 % of 0.5 mm is a fifth of a mark
        ("20 deg", "6.4 % too much"),  # 1 / cos 20 - 1, as any table of cosines has it
        ("80 deg", "not an angle from 0 to 60"),
        ("3 mm", "not an angle"),
    ],
)
def test_a_dial_that_leans_too_far_is_told(stem: str, told: str) -> None:
    dial = {"id": "dial", "kind": "dial_indicator", "name": "dial", "unit": "mm",
            "resolution": "0.01 mm"}  # fmt: skip
    step = {"id": "stroke", "kind": "measurement", "quantity": "stroke", "unit": "mm",
            "gauge": "dial", "upper": "0.5 mm", "plausible_low": "0 mm", "plausible_high": "5 mm",
            "stem": stem}  # fmt: skip
    found = [f.message for f in lint(made_procedure(step, gauges=[dial])) if f.step == "stroke"]
    assert len(found) == bool(told)
    assert all(told in message for message in found)
