"""The gauge that is really in hand: its unit, marks, range and uncertainty count everywhere."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from assistant.dialogue.events import Resumed
from assistant.dialogue.facts import ToolChecked
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.states import Blocked, OutOfLimit
from assistant.quantities.tools import Bench as ToolBench
from tests.dialogue.kit import GAUGES, LAST, PEOPLE, procedure
from tests.report.test_from_dialogue import KeptBench

GAP = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "inch_mic",
       "lower": "10 thou", "upper": "20 thou", "plausible_low": "0 thou",
       "plausible_high": "1000 thou"}  # fmt: skip
INCH = {"id": "inch_mic", "kind": "micrometer", "name": "inch micrometer", "unit": "thou",
        "resolution": "0.1 thou", "lower": "0 thou", "upper": "1000 thou",
        "uncertainty": "0.2 thou"}  # fmt: skip
METRIC = {"id": "metric_mic", "kind": "micrometer", "name": "metric micrometer", "unit": "mm",
          "resolution": "0.01 mm", "lower": "0 mm", "upper": "25 mm", "uncertainty": "0.004 mm",
          "calibration_due": "2027-01-01"}  # fmt: skip


def bench(*tools: Mapping[str, object], **step: object) -> KeptBench:
    b = KeptBench(procedure({**GAP, **step}, LAST, gauges=[*GAUGES, INCH]))
    b.open(PEOPLE, ToolBench.model_validate({"tools": list(tools)}))
    b.type("charlie")
    b.say("confirm")
    return b


def test_a_reading_without_a_unit_is_in_the_unit_of_the_gauge_that_took_the_place() -> None:
    b = bench(METRIC)
    opening = " ".join(b.state.last_said)
    assert "metric micrometer would do" in opening
    assert "Use the metric micrometer" in opening
    assert "inch micrometer. The limits" not in opening
    assert "It reads in millimeters" in opening
    # 10 thou is 0.254 mm, 20 thou 0.508 mm (25.4 mm an inch, NIST SP 811 B.6)
    assert "point two five four millimeters to point five zero eight" in opening
    said = b.type("reading 0.4")
    assert "point four millimeters" in said
    assert "In limits" in said
    assert "good for point zero zero four millimeters" in said
    b.say("go_on")
    (kept,) = b.of(ReadingConfirmed)
    assert kept.indication.bounds("mm") == (Fraction("0.4"), Fraction("0.4"))
    assert (kept.gauge, kept.tool, kept.tool_name) == (
        "inch_mic",
        "metric_mic",
        "metric micrometer",
    )
    assert str(kept.uncertainty) == "0.004 mm"


def test_a_reading_said_at_the_readback_is_in_the_unit_of_the_gauge_in_hand_too() -> None:
    b = bench(METRIC)
    b.type("reading 0.4")
    assert "point four five millimeters" in b.type("reading 0.45")
    assert "point six millimeters" in b.type("reading 0.6")  # out of limits
    assert isinstance(b.awaiting(), OutOfLimit)
    assert "point three millimeters" in b.type("reading 0.3")
    b.say("go_on")
    (kept,) = b.of(ReadingConfirmed)
    assert kept.indication.bounds("mm") == (Fraction("0.3"), Fraction("0.3"))


def test_the_tool_really_used_stands_in_the_record() -> None:
    b = bench(METRIC)
    b.type("reading 0.4")
    b.say("go_on")
    (checked,) = b.of(ToolChecked)
    assert (checked.tool, checked.instead_of, checked.stops) == ("metric_mic", "inch_mic", False)
    record = b.record()
    (line,) = [t for t in record.tools if t.id == "inch_mic"]
    assert (line.own_id, line.own_name, line.unit) == ("metric_mic", "metric micrometer", "mm")
    assert (str(line.resolution), str(line.uncertainty)) == ("0.01 mm", "0.004 mm")
    (reading,) = record.readings
    assert reading.tool == "metric micrometer"
    assert str(reading.uncertainty) == "0.004 mm"


def test_doubt_goes_by_the_marks_and_the_range_in_hand() -> None:
    b = bench(METRIC)
    b.type("reading 0.405")
    assert b.awaits(DigitCheck).why == "too_fine"
    b.type("zero decimal four zero five")
    b.say("correction")
    b.type("reading 25.1")
    assert b.awaits(DigitCheck).why in ("gauge_range", "implausible")
    b = bench({**METRIC, "upper": "0.45 mm"}, lower="10 thou", upper="17 thou")
    b.type("reading 0.46")
    assert b.awaits(DigitCheck).why == "gauge_range"


def test_the_benchs_own_tool_of_that_name_is_taken_as_it_is() -> None:
    own = {**METRIC, "id": "inch_mic", "name": "micrometer 7"}
    b = bench(own)
    opening = " ".join(b.state.last_said)
    assert "Use the micrometer 7" in opening
    assert "would do" not in opening
    assert "point four millimeters" in b.type("reading 0.4")


def test_another_bench_on_resuming_brings_its_own_unit() -> None:
    b = bench(METRIC)
    said = b.feed(
        Resumed(at=b.at(), bench=ToolBench.model_validate(
            {"tools": [{**INCH, "calibration_due": "2027-01-01"}]}))
    )  # fmt: skip
    assert "Use the inch micrometer" in said
    assert b.awaiting() == Measuring(0)
    assert "fifteen thou" in b.type("reading 15")
    b.say("go_on")
    (kept,) = b.of(ReadingConfirmed)
    assert (kept.tool, str(kept.uncertainty)) == ("inch_mic", "0.2 thou")


def test_what_the_procedure_states_of_its_gauge_does_not_hold_for_another() -> None:
    unknown = {k: v for k, v in METRIC.items() if k != "uncertainty"}
    b = bench(unknown)
    assert "good for" not in b.type("reading 0.4")
    b = bench(unknown, rule="guarded")
    assert b.awaiting() == Blocked()
    assert "uncertainty of the metric micrometer is not known" in " ".join(b.state.last_said)
    # the bench's own of that very id, read to the same marks, is the one the procedure speaks of
    same = {k: v for k, v in INCH.items() if k != "uncertainty"}
    b = bench({**same, "calibration_due": "2027-01-01"}, rule="guarded")
    assert b.awaiting() == Measuring(0)
    # read to other marks it is not
    b = bench({**same, "resolution": "0.5 thou", "calibration_due": "2027-01-01"}, rule="guarded")
    assert b.awaiting() == Blocked()
