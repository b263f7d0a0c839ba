"""The starter: a step list becomes a file that loads, and that the linter keeps off the bench."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from assistant.procedure import guess
from assistant.procedure.draft import StepDraft
from assistant.procedure.guess import duration, limits, torque, torques
from assistant.procedure.kinds import KINDS
from assistant.procedure.kinds.log import LogStep
from assistant.procedure.kinds.measurement import MeasurementStep
from assistant.procedure.kinds.tightening import TighteningStep
from assistant.procedure.kinds.wait import WaitStep
from assistant.procedure.lint import lint
from assistant.procedure.loader import load_procedure
from assistant.procedure.models import Procedure
from assistant.procedure.starter import StepListError, guess_kind, starter, starter_from_file
from assistant.quantities.amount import parse_amount

MARKDOWN = """\
# Input cap

Some words of the manual.

> **Caution:** Lock the penstock valve.

1. Clean the cap face.
   Stone off burrs.
2. Measure the end float, 1.5 to 4 thou.
3. Tighten the four cap bolts to 14 lb-ft.
4. Let the sealant cure for 30 minutes.
- [ ] Check the runout, no more than 0.05 mm.
* Record the serial number of the shaft.
* Hold point: call the inspector.
"""


def loaded(text: str, tmp_path: Path) -> Procedure:
    path = tmp_path / "starter.yaml"
    path.write_text(text, encoding="utf-8")
    return load_procedure(path)


def test_a_markdown_list_becomes_steps_of_the_right_kinds(tmp_path: Path) -> None:
    procedure = loaded(starter(MARKDOWN, "markdown", "input_cap"), tmp_path)
    assert procedure.id == "input_cap"
    assert procedure.title == "Input cap"
    assert [s.kind for s in procedure.steps] == [
        "caution", "action", "measurement", "tightening", "wait", "measurement",
        "identification", "inspection",
    ]  # fmt: skip
    _, clean, floating, bolts, cure, runout, _, _ = procedure.steps
    assert clean.say == "Clean the cap face. Stone off burrs."
    assert isinstance(floating, MeasurementStep)
    assert (str(floating.lower), str(floating.upper)) == ("1.5 thou", "4 thou")
    assert isinstance(bolts, TighteningStep)
    assert str(bolts.target) == "14 lbf*ft"
    assert isinstance(cure, WaitStep)
    assert str(cure.duration) == "30 min"
    assert isinstance(runout, MeasurementStep)
    assert (runout.lower, str(runout.upper)) == (None, "0.05 mm")


def test_what_the_list_does_not_say_keeps_it_off_the_bench(tmp_path: Path) -> None:
    findings = lint(loaded(starter(MARKDOWN, "markdown"), tmp_path))
    told = {f.step for f in findings if f.level == "error"}
    procedure = loaded(starter(MARKDOWN, "markdown"), tmp_path)
    for step in procedure.steps:
        if step.kind in ("measurement", "tightening", "inspection"):
            assert step.id in told, step.id
    head = " ".join(f.message for f in findings)
    for missing in ("title", "revision", "date"):
        assert f"governing {missing}" in head


def test_a_csv_table_becomes_steps_with_its_figures(tmp_path: Path) -> None:
    table = tmp_path / "Input cap.csv"
    table.write_text(
        "kind,title,say,caution,unit,lower,upper,gauge,target,tool,fasteners,reference\n"
        'caution,Lock out,"Lock the penstock valve, and tag it.",,,,,,,,,1.2\n'
        ",End float,Measure the end float.,,thou,1.5 thou,4 thou,Dial,,,,3.1\n"
        ",Bolts,Tighten the bolts.,Mind your hands.,,,,,12 lbf*ft,Small wrench,"
        "bolt one; bolt two,\n",
        encoding="utf-8",
    )
    procedure = loaded(starter_from_file(table), tmp_path)
    assert procedure.id == "input_cap"
    assert "id: cap\n" in starter_from_file(table, Path("cap.yaml"))
    lock, floating, bolts = procedure.steps
    assert (lock.kind, lock.reference) == ("caution", "1.2")
    assert isinstance(floating, MeasurementStep)
    assert (floating.unit, str(floating.upper), floating.gauge) == ("thou", "4 thou", "dial")
    assert isinstance(bolts, TighteningStep)
    assert bolts.fasteners == ("bolt one", "bolt two")
    assert bolts.cautions == ("Mind your hands.",)


def begun(kind: str, **cells: str) -> dict[str, object]:
    """What is written for a step whose kind the writer names."""
    draft = StepDraft({"say": "Do it."}, {"title": "it", **cells}, {}, {})
    next(k for k in KINDS if k.kind == kind).start(draft)
    return draft.step


def test_a_computed_value_and_a_choice_are_begun_with_marks_for_the_writer() -> None:
    formula = {"quantity": "value", "formula": "a", "inputs": {"a": "todo_name_a_measurement"}}
    say = "Do it. (TODO: formula and inputs)"
    assert begun("derived") == {"say": say, "unit": "mm", **formula}
    assert begun("derived", unit="thou") == {"say": say, "unit": "thou", **formula}
    options = [{"id": "first", "say": "first"}, {"id": "second", "say": "second"}]
    assert begun("choice") == {"say": "Do it. (TODO: options)", "options": options}


@pytest.mark.parametrize(
    ("sentence", "stated"),
    [
        # Unit spellings after NIST SP 811 (N m, lbf ft) and as older manuals print them
        # (common practice, no source).
        ("Tighten to 25 N·m.", "25 N*m"),
        ("Tighten to 25 N m.", "25 N*m"),
        ("Tighten to 25 Nm", "25 N*m"),
        ("Torque to 25 newton metres", "25 N*m"),
        ("Tighten to 14 lbf·ft", "14 lbf*ft"),
        ("Tighten to 14 ft-lb.", "14 lbf*ft"),
        ("Tighten to 14 foot pounds", "14 lbf*ft"),
        ("Tighten to 80 in-lb", "80 lbf*in"),
        ("Tighten to 80 inch pounds", "80 lbf*in"),
        ("Tighten to 80 pound inches", "80 lbf*in"),
    ],
)
def test_torques_are_read_as_manuals_print_them(sentence: str, stated: str) -> None:
    assert torque(sentence) == parse_amount(stated)
    assert guess_kind(sentence) == "tightening"


def test_sizes_and_times() -> None:
    assert limits("Check 0.10-0.30 mm end play") == (
        parse_amount("0.10 mm"), parse_amount("0.30 mm"))  # fmt: skip
    both = (parse_amount("0.05 mm"), parse_amount("0.12 mm"))
    assert limits("Check it, 0.05 mm to 0.12 mm") == both
    assert limits("Check it, 0.05 mm – 0.12 mm") == both
    assert limits("It is between 0.05 mm and 0.12 mm.") == both
    assert limits("It is between 0.05 and 0.12 mm.") == both
    assert limits("Cut the pins 8 mm and 12 mm long") == (None, None)
    assert torque("Tighten to 20 N·m to 24 N·m") is None  # which of them, the writer must say
    assert torques("Tighten to 20 N·m, then to 24 N·m and 28 N·m") == [
        parse_amount(text) for text in ("20 N*m", "24 N*m", "28 N*m")
    ]
    assert limits("at least 0.002 in") == (parse_amount("0.002 in"), None)
    assert limits("Cut it 12 mm long") == (None, None)
    assert duration("Wait 2 hours") == parse_amount("2 h")
    assert guess_kind("Fit the 12 mm dowel") == "action"
    assert guess_kind("Tighten by hand") == "action"


@pytest.mark.parametrize(
    ("sentence", "title"),
    [
        ("Tighten the six retaining screws to 22 N·m.", "Tighten the six retaining screws"),
        ("Check the shaft in the bush for clearance, 0.1 mm.", "Check the shaft in the bush"),
        (
            "Measure the gap behind the thrust washer, 2 mm.",
            "Measure the gap behind the thrust washer",
        ),
        ("Fit the 4 M8 screws.", "Fit the 4 M8 screws"),
        ("160 N*m", "160 N*m"),
    ],
)
def test_a_title_has_no_figure_and_no_loose_end(sentence: str, title: str) -> None:
    assert f"title: {title}\n" in starter(f"1. {sentence}\n", "markdown")


@pytest.mark.parametrize(
    ("layout", "text", "words"),
    [
        ("markdown", "no list here", "no list item"),
        ("csv", "", "no column 'say'"),
        ("csv", "say,colour\nx,y\n", "'colour' is unknown"),
        ("csv", "say\n", "no step below"),
        ("csv", "say\na,b\n", "Line 2 has more cells"),
        ("csv", 'say\n"a\n', "is not CSV"),
        ("csv", "say,kind\nx,weld\n", "kind 'weld' is unknown"),
        ("csv", "say,say\nx,y\n", "named twice"),
        ("csv", "say,unit\n,mm\n", "no words"),
    ],
)
def test_a_list_that_cannot_be_used_is_told_in_a_sentence(
    layout: str, text: str, words: str
) -> None:
    with pytest.raises(StepListError, match=words):
        starter(text, layout)


def test_files_that_cannot_be_read_are_told(tmp_path: Path) -> None:
    (tmp_path / "a.md").write_bytes(b"\xff\xfe1")
    with pytest.raises(StepListError, match="not UTF-8"):
        starter_from_file(tmp_path / "a.md")
    with pytest.raises(StepListError, match="cannot be read"):
        starter_from_file(tmp_path / "none.md")


_SENTENCE = st.text(
    st.characters(codec="utf-8", categories=("L", "N", "P", "Zs", "S")), min_size=1, max_size=60
).filter(str.strip)


@pytest.mark.uncounted
@settings(max_examples=150, deadline=None)
@given(st.lists(_SENTENCE, min_size=1, max_size=5))
@example([","])
def test_any_list_of_sentences_gives_a_file_that_loads(
    tmp_path_factory: pytest.TempPathFactory, sentences: list[str]
) -> None:
    text = "".join(f"1. {s}\n" for s in sentences)
    procedure = loaded(starter(text, "markdown", sentences[0]), tmp_path_factory.mktemp("s"))
    assert len(procedure.steps) == len(sentences)
    assert any(f.level == "error" for f in lint(procedure))


def test_every_ten_minutes_for_an_hour_becomes_a_log(tmp_path: Path) -> None:
    said = "Read the bearing temperature every 10 minutes for an hour, at most 70 degrees C."
    assert guess_kind(said) == "log"
    procedure = loaded(starter(f"# Run-in\n\n1. {said}\n", "markdown"), tmp_path)
    (step,) = procedure.steps
    assert isinstance(step, LogStep)
    assert (str(step.every), str(step.for_)) == ("10 min", "1 h")
    assert str(step.readings[0].upper) == "70 degC"
    assert [f for f in lint(procedure) if f.level == "error" and f.step == step.id]


@pytest.mark.parametrize(
    ("said", "every", "lasts"),
    [
        ("Log the pressure each hour for 8 hours.", "1 h", "8 h"),
        ("Note both temperatures every 15 min during 2 h.", "15 min", "2 h"),
        ("Record the temperature every half hour for four hours.", "30 min", "4 h"),
    ],
)
def test_intervals_as_manuals_write_them(tmp_path: Path, said: str, every: str, lasts: str) -> None:
    (step,) = loaded(starter(f"1. {said}\n", "markdown"), tmp_path).steps
    assert isinstance(step, LogStep)
    assert (str(step.every), str(step.for_)) == (every, lasts)


def test_what_is_checked_on_every_bolt_is_no_log() -> None:
    assert guess_kind("Check every bolt for 5 minutes.") != "log"
    assert guess_kind("Let it run for an hour.") != "log"


@pytest.mark.parametrize(
    ("sentence", "kind"),
    [
        ("Fit the coupling nut at 160 N*m.", "tightening"),
        ("Set the four studs at 160 N·m.", "tightening"),
        ("Run the pinion nut down to 160 N*m.", "tightening"),
        ("Retighten the cap screws to 40 N·m.", "tightening"),
        ("Tighten the head bolts to 40 N*m, then 90 degrees, then 90 degrees.", "tightening"),
    ],
)
def test_a_torque_that_a_fastener_gets_is_a_tightening(sentence: str, kind: str) -> None:
    assert guess_kind(sentence) == kind


def test_a_torque_that_is_read_is_none() -> None:
    assert guess_kind("Measure the turning torque, 0.8 to 1.2 N*m.") != "tightening"
    assert guess_kind("The turning torque is at most 1.2 N*m at the nut.") != "tightening"


@pytest.mark.parametrize(
    ("sentence", "stages"),
    [
        ("Tighten the head bolts to 20 N*m, then 40 N*m, then by 90 degrees, and 90° more.",
         [{"torque": "20 N*m"}, {"torque": "40 N*m"}, {"turn": "90 deg"}, {"turn": "90 deg"}]),
        ("Tighten the flange to 30 N*m, 60 N*m and 90 N*m.",
         [{"torque": "30 N*m"}, {"torque": "60 N*m"}, {"torque": "90 N*m"}]),
    ],
)  # fmt: skip
def test_torques_and_turns_become_stages(
    tmp_path: Path, sentence: str, stages: list[dict[str, str]]
) -> None:
    procedure = loaded(starter(f"1. {sentence}", "markdown", "head"), tmp_path)
    (step,) = procedure.steps
    assert isinstance(step, TighteningStep)
    assert [s.model_dump(mode="json", exclude_defaults=True) for s in step.stages] == stages
    assert any("note to the writer" in f.message for f in lint(procedure))


@pytest.mark.parametrize(
    ("sentence", "kind"),
    [
        ("Bed the taper at 160 N*m.", "tightening"),
        ("160 N*m", "tightening"),
        ("Tighten the cover screws to 40 cN·m.", "tightening"),
        ("Measure the turning torque, 0.8 to 1.2 N*m.", "measurement"),
        ("The turning torque is at most 1.2 N*m at the nut.", "measurement"),
        ("Relax for 4 hours.", "wait"),
        ("Let the gasket relax for four hours.", "wait"),
        ("Cure 24 h.", "wait"),
        ("Heat soak 30 minutes at 80 °C.", "wait"),
        ("Fit the ring within 90 seconds.", "action"),
        ("Warm the ring, no faster than 3 °C/min.", "derived"),
        ("The bearing warms by at most 20 °C/h.", "derived"),
        ("Flow at least 12 l/min.", "measurement"),
        ("Check the pressure, 2.5 to 3 MPa.", "measurement"),
        ("The seat is 60 k5.", "measurement"),
        ("Measure the bore, 40 JS7.", "measurement"),
        ("Check the fit 25 H7/k6 of hub and shaft.", "derived"),
        ("Fit the 4 M8 screws.", "action"),
        ("Run in the 4 A2-70 screws by hand.", "action"),
    ],
)
def test_no_figure_of_a_manual_is_lost_in_a_plain_action(sentence: str, kind: str) -> None:
    assert guess_kind(sentence) == kind


@pytest.mark.parametrize(
    ("sentence", "key", "value"),
    [
        ("Relax for 4 hours.", "duration", "4 h"),
        ("Warm the ring, no faster than 3 °C/min.", "upper", "3 degC/min"),
        ("The seat is 60 k5.", "fit", "60 k5"),
        ("Check the fit 25 H7/k6 of hub and shaft.", "fit", "25 H7/k6"),
        ("Measure the turning torque, 0.8 to 1.2 N*m.", "lower", "0.8 N*m"),
        ("Tighten the cover screws to 80 ozf·in.", "target", "80 ozf*in"),
    ],
)
def test_figures_and_fits_are_taken_over_and_marked(
    tmp_path: Path, sentence: str, key: str, value: str
) -> None:
    procedure = loaded(starter(f"1. {sentence}", "markdown", "one"), tmp_path)
    (step,) = procedure.steps
    assert str(getattr(step, key)) == value
    assert any("note to the writer" in f.message for f in lint(procedure) if f.step == step.id)


@pytest.mark.parametrize(
    ("sentence", "gauge"),
    [
        (
            "Read the bearing temperature every 10 minutes for an hour, at most 70 °C.",
            "thermometer",
        ),
        ("Tighten the cover screws to 40 cN·m.", "torque_driver"),
        ("Measure the end play, 0.1 to 0.3 mm.", "caliper"),
    ],
)
def test_the_gauge_is_one_that_reads_the_unit(tmp_path: Path, sentence: str, gauge: str) -> None:
    procedure = loaded(starter(f"1. {sentence}", "markdown", "one"), tmp_path)
    assert [g.kind for g in procedure.gauges] == [gauge]


@pytest.mark.parametrize(
    ("sentence", "kind", "todo"),
    [
        ("Both gears must carry the same mark.", "identification", "'same_as'"),
        ("Shim the gap to 0.1 mm.", "shims", "the shims of the set"),
        ("Choose shims that leave 0.1 to 0.2 mm.", "shims", "limits"),
        ("Fill the gap with shims to 0.1 mm of end play.", "shims", "the shims of the set"),
        ("Turn each bolt a further 90 degrees.", "action", "a stage of its tightening"),
        ("Heat the ring to 110 °C.", "action", "how the temperature is measured"),
    ],
)
def test_what_is_more_than_an_action_is_marked(sentence: str, kind: str, todo: str) -> None:
    assert guess_kind(sentence) == kind
    drafted = starter(f"1. {sentence}\n", "markdown")
    assert todo in " ".join(drafted.split())


def test_a_picture_that_is_told_of_is_asked_for() -> None:
    drafted = starter("1. Take a picture of the marks.\n", "markdown")
    assert "picture: TODO what must be seen" in drafted


@pytest.mark.parametrize(
    ("sentence", "unit"),
    [
        ("Read the temperature every 10 minutes for 1 hour.", "degC"),
        ("Read the pressure every 5 minutes for half an hour.", "bar"),
        ("Measure the end float.", "mm"),
    ],
)
def test_the_unit_is_that_of_what_is_measured(sentence: str, unit: str) -> None:
    assert f"unit: {unit}\n" in starter(f"1. {sentence}\n", "markdown")


@pytest.mark.parametrize(
    "sentence",
    ["Tighten to 12,5 Nm.", "Tighten to 1,050 Nm.", "Tighten to 5e1 Nm.", "Tighten to 5x10^1 Nm.",
     "Tighten to 40±5 Nm.", "Tighten to 40 ± 5 Nm.", "Tighten to 50 kN·m.", "Tighten to 50 Nm/10.",
     "End float at most 0,12 mm.", "End float 0,05 to 0,12 mm.", "Gap at most 2 1/2 in.",
     "Gap at most 0,12 mm with the 5 mm spacer.", "At most 1 500 rpm.", "At most 1'500 rpm.",
     "At most 5 mm/s.", "At most 5 x 10-3 mm.", "At most 3 in H2O.", "At most 5 min-1."],
)  # fmt: skip
def test_a_part_of_a_number_is_not_taken_for_the_whole(sentence: str) -> None:
    """A "5" out of "12,5 Nm" was the torque announced, and `check` read the sentence no better."""
    assert guess.torque(sentence) is None
    assert guess.limits(sentence) == (None, None)
    assert guess.duration(sentence) is None


@pytest.mark.parametrize(
    ("sentence", "lower", "upper"),
    [("Gap at most .05 mm.", "None", "0.05 mm"), ("Gap at most 1/64 in.", "None", "0.015625 in"),
     ("Between \u22120.02 and +0.01 mm.", "-0.02 mm", "0.01 mm"),
     ("Backlash 0.05\u20260.12 mm.", "0.05 mm", "0.12 mm"),
     ("With the M8 x 25 mm screws out, at most 0.1 mm.", "None", "0.1 mm")],
)  # fmt: skip
def test_a_number_is_read_however_it_is_written(sentence: str, lower: str, upper: str) -> None:
    assert [str(a) for a in guess.limits(sentence)] == [lower, upper]
