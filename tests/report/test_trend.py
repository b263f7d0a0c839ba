"""Control limits against the worked example of the NIST e-Handbook, and what stands out."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from xml.etree.ElementTree import fromstring

import pytest

from assistant.cli.record_list import ListedRecord
from assistant.journal.types import SessionRow
from assistant.quantities.amount import parse_amount
from assistant.quantities.limits import Limits
from assistant.report.model import BuildRecord
from assistant.report.record import build_record
from assistant.report.trend import individuals_chart, trend
from assistant.report.trend_chart import trend_chart
from tests.quantities.kit import exactly
from tests.report.sample import FLOAT, OPENED, Scribe, confirmed, offered

FLOWRATE = ["49.6", "47.6", "49.9", "51.3", "47.8", "51.2", "52.6", "52.4", "53.6", "52.1"]


def test_the_flowrate_example_of_the_nist_handbook() -> None:
    """NIST/SEMATECH e-Handbook 6.3.2.2, 'Individuals control charts'; numbers from memory."""
    chart = individuals_chart([Fraction(Decimal(x)) for x in FLOWRATE])
    assert chart is not None
    assert chart.mean == pytest.approx(50.81, abs=5e-5)
    assert chart.mean_range == pytest.approx(1.8778, abs=5e-5)
    assert chart.upper == pytest.approx(55.8041, abs=2e-4)
    assert chart.lower == pytest.approx(45.8159, abs=2e-4)


def build(number: int, value: str, **opened: object) -> BuildRecord:
    """A small build with one end float."""
    scribe = Scribe(f"s{number:02}")
    scribe.event({**OPENED.model_dump(mode="json"), "job": f"KB2-{number}", **opened})
    reading = exactly(value)
    scribe.heard(offered("float", "top", reading, FLOAT))
    scribe.heard(confirmed("float", "top", reading, FLOAT, "dial"))
    return build_record(scribe.entries)


def test_a_drift_and_a_jump_are_seen_while_every_value_is_still_in_limits() -> None:
    values = [f"{x} thou" for x in ("2.0", "2.1", "2.0", "2.1", "2.0", "2.1", "2.0", "2.9")]
    found = trend([build(n, v) for n, v in enumerate(values)], "kb2_sample", "float", "top")
    assert found.unit == "thou"
    assert {p.verdict for p in found.points} == {"in"}
    assert found.points[-1].signals == (
        "outside the control limits",
        "jumped from the build before",
    )
    assert all(p.signals == () for p in found.points[:-1])
    assert found.points[0].moving_range is None
    assert found.points[-1].moving_range == pytest.approx(0.9)


def test_eight_builds_on_one_side_are_told() -> None:
    values = ["1.6 thou"] * 3 + ["2.6 thou"] * 8
    found = trend([build(n, v) for n, v in enumerate(values)], "kb2_sample", "float", "top")
    assert "eight builds on one side of the mean" in found.points[-1].signals
    assert not any("eight" in s for p in found.points[:-1] for s in p.signals)


def test_units_are_brought_together_and_strangers_left_out() -> None:
    records = [
        build(1, "0.0508 mm"),
        build(2, "2.2 thou", procedure_id="other"),
        build(3, "2.2 thou", clock="demo"),
        build_record(Scribe("empty").entries),
        build(4, "2.5 thou"),
    ]
    found = trend(records, "kb2_sample", "float", "top")
    assert [p.value for p in found.points] == [2.0, 2.5]
    assert found.chart is None, "two builds have no limits"
    assert str(found.limits) == f"{parse_amount('1.5 thou')} to {parse_amount('3 thou')}"
    assert trend(records, "kb2_sample", "gap").left_out == ("s01", "s04")


def test_sessions_are_found_by_words() -> None:
    row = SessionRow("20260105-a", "KB2-7", "kb2_cap", "2026-01-05T08:00", "2026-01-06T08:00", 3)
    one = ListedRecord(row, "Otto Brandwick", "KB417", "Not accepted", "2026-01-05 08:00")
    for words in ("", "kb2-7", "cap 2026-01", "brandwick kb417", "not accepted"):
        assert one.has(words), words
    for words in ("nothing", "kb2-7 quill", "2026-02"):
        assert not one.has(words), words
    assert not one.closed


def test_the_picture_says_what_stands_out_and_draws_every_build() -> None:
    values = [f"{x} thou" for x in ("2.0", "2.1", "2.0", "2.1", "2.0", "2.1", "2.0", "2.9")]
    found = trend([build(n, v) for n, v in enumerate(values)], "kb2_sample", "float", "top")
    drawn = fromstring(trend_chart(found).svg)
    assert drawn.get("aria-label") == (
        "end float top over 8 builds: KB2-7: outside the control limits, "
        "jumped from the build before"
    )
    kinds = [e.get("class") for e in drawn]
    assert kinds.count("dot") == 8
    assert kinds.count("signal") == 1
    assert kinds.count("limit") == 2
    assert kinds.count("control") == 3, "two of the values, one of the ranges"
    assert kinds.count("range") == 7
    dots = [float(e.get("cy", "")) for e in drawn if e.get("class") == "dot"]
    assert dots[-1] < dots[1] < dots[0], "greater values stand higher"
    heights = [float(e.get("y1", "")) for e in drawn if e.get("class") == "limit"]
    assert heights[0] > max(dots), "the lower limit lies below all builds"


def test_a_picture_of_nothing() -> None:
    drawn = fromstring(trend_chart(trend([], "kb2_sample", "float")).svg)
    assert "over 0 builds: nothing stands out" in str(drawn.get("aria-label"))


@pytest.mark.parametrize("value", ["2.3 thou", "0.1 mm", "7.7 thou", "3.3333 mm"])
@pytest.mark.parametrize("count", [3, 9, 12])
def test_builds_that_are_all_alike_never_stand_out(value: str, count: int) -> None:
    """An individuals chart of a constant has all three lines at the constant."""
    found = trend([build(n, value) for n in range(count)], "kb2_sample", "float", "top")
    assert len(found.points) == count
    assert [p.signals for p in found.points] == [()] * count


def test_builds_that_measured_another_quantity_at_the_step_are_left_out() -> None:
    """A revision of the procedure may ask for a temperature where there was a length."""
    scribe = Scribe("warm")
    scribe.event(OPENED.model_dump(mode="json"))
    scribe.heard(offered("float", "top", exactly("21 degC"), Limits()))
    scribe.heard(confirmed("float", "top", exactly("21 degC"), Limits(), "dial"))
    records = [build(0, "2.0 thou"), build_record(scribe.entries), build(2, "2.1 thou")]
    found = trend(records, "kb2_sample", "float", "top")
    assert [p.session for p in found.points] == ["s00", "s02"]
    assert found.left_out == ("warm",)
