"""Adjust and measure again: the history is one of adjustments, and nothing out of limits is left.

Until the value is in, or a second person releases it, the step cannot be left.
"""

from __future__ import annotations

from typing import Any

import pytest

from assistant.board.build import build_view
from assistant.board.view import Snapshot
from assistant.board.words import load_words
from assistant.cli.screen import describe
from assistant.dialogue import adjusting
from assistant.dialogue.facts import Adjusted, DispositionRecorded, StepReopened
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed, ReadingSuperseded
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.stand_in import Answers
from assistant.dialogue.states import Doing, GoingBack, OutOfLimit, Review
from assistant.report.html import to_html
from assistant.session.stand_in import next_line
from tests.dialogue.kit import LAST, Bench, procedure, replay
from tests.report.test_from_dialogue import KeptBench

NUT = {"id": "nut", "kind": "action", "title": "Nut on"}
FLOAT: dict[str, Any] = {
    "id": "float", "kind": "measurement", "quantity": "end float", "unit": "thou", "gauge": "dial",
    "lower": "2 thou", "upper": "4 thou", "plausible_low": "0 thou", "plausible_high": "30 thou",
}  # fmt: skip
TURN = {"until": "in", "adjust": "Turn the nut a little."}


def bench(*steps: dict[str, Any]) -> KeptBench:
    b = KeptBench(procedure(*steps, LAST))
    b.start()
    return b


def test_adjusted_is_measured_again_and_kept_as_an_adjustment() -> None:
    b = bench({**FLOAT, **TURN})
    said = b.type("reading 6 thou")
    assert "Turn the nut a little. Then say adjusted." in said
    assert "Adjustment 1. Measure again." in b.say("adjusted")
    assert b.awaiting() == Measuring(0)
    b.type("reading 5 thou")
    b.say("adjusted")
    b.type("reading 3 thou")
    assert b.awaiting() == Review()
    b.say("go_on")
    first, second = b.of(Adjusted)
    assert (first.number, first.side, str(first.found)) == (1, "high", "6 thou")
    assert (second.number, str(second.found)) == (2, "5 thou")
    assert [f.why for f in b.of(ReadingSuperseded)] == ["adjusted", "adjusted"]
    assert b.of(DispositionRecorded) == []
    assert [str(f.indication) for f in b.of(ReadingConfirmed)] == ["3 thou"]
    assert b.state.adjusted == {}


def test_the_record_tells_adjustments_and_strikes_nothing_out_as_a_slip() -> None:
    b = bench({**FLOAT, **TURN})
    b.type("reading 6 thou")
    b.say("adjusted")
    b.type("reading 3 thou")
    b.say("go_on")
    record = b.record()
    (line,) = record.adjustments
    assert (line.what, line.side, str(line.found)) == ("Turn the nut a little.", "high", "6 thou")
    assert [(str(r.indication), r.status, r.superseded_why) for r in record.readings] == [
        ("6 thou", "superseded", "adjusted"), ("3 thou", "counts", "")]  # fmt: skip
    page = to_html(record)
    assert "as found before an adjustment" in page
    assert "Turn the nut a little." in page
    assert "struck out" not in page
    assert describe(b.of(Adjusted)[0]) == "adjustment 1: Turn the nut a little."


def test_out_of_limits_the_step_is_left_by_no_word_but_a_released_disposition() -> None:
    b = bench({**FLOAT, **TURN})
    b.type("reading 6 thou")
    b.say("adjusted")
    b.say("skip")
    assert b.state.step == "float"
    assert b.awaiting() == OutOfLimit(0)
    b.say("go_on")
    assert b.state.step == "float"
    b.say("disposition_use_as_is")
    b.type("spare on order", "inspector mike quebec")
    b.say("accept")  # of the value as found; another one wants its own
    b.type("reading 5 thou")
    assert b.awaiting() == OutOfLimit(0)
    b.say("disposition_use_as_is")
    b.type("spare on order", "inspector mike quebec")
    b.say("accept", "go_on")
    assert b.state.outcomes["float"] == "done"


def test_only_so_many_adjustments_as_the_procedure_allows() -> None:
    b = bench({**FLOAT, **TURN, "tries": 2})
    for _ in range(2):
        b.type("reading 6 thou")
        b.say("adjusted")
    said = b.type("reading 6 thou")
    assert "allows no more" in said
    assert "adjusted" not in b.expected()
    b.say("remeasure")  # a slip of the tongue is no adjustment
    assert "allows no more" in b.type("reading 5 thou")


def test_a_new_part_begins_the_count_again() -> None:
    b = bench({**FLOAT, **TURN, "tries": 1})
    b.type("reading 6 thou")
    b.say("adjusted")
    b.type("reading 6 thou")
    b.say("disposition_replace")
    b.type("worn out", "inspector mike quebec")
    b.say("accept")
    b.type("reading 6 thou")
    assert "adjusted" in b.expected()


def test_an_adjustment_moves_all_places_unless_the_procedure_says_otherwise() -> None:
    places = {"positions": ["top", "left", "right"]}
    b = bench({**FLOAT, **TURN, **places})
    b.type("reading 3 thou", "reading 6 thou")
    b.say("adjusted")
    assert b.awaiting() == Measuring(0)
    b.type("reading 3 thou", "reading 3 thou", "reading 3 thou")
    b.say("go_on")
    assert b.state.outcomes["float"] == "done"
    b = bench({**FLOAT, **TURN, **places, "measure_again": "place"})
    b.type("reading 3 thou", "reading 6 thou")
    b.say("adjusted")
    assert b.awaiting() == Measuring(1)
    assert list(b.state.values["float"]) == ["top"]


HIGH_LOW = {"on_high": "Loosen it.", "on_low": {"say": "Take the spacer out.", "back_to": "nut"}}


@pytest.mark.parametrize(
    ("reading", "said"),
    [("6 thou", "Loosen it. Then say adjusted."), ("1 thou", "adjusted to go back to Nut on")],
)
def test_too_high_and_too_low_have_remedies_of_their_own(reading: str, said: str) -> None:
    b = bench(NUT, {**FLOAT, **HIGH_LOW})
    b.say("done")
    assert said in b.type(f"reading {reading}")


def test_going_back_to_the_step_that_made_it_is_confirmed_and_kept_as_an_adjustment() -> None:
    b = bench(NUT, {**FLOAT, **HIGH_LOW})
    b.say("done")
    b.type("reading 1 thou")
    b.say("adjusted")
    assert isinstance(b.awaiting(), GoingBack)
    assert b.of(Adjusted) == []
    b.say("confirm")
    assert b.state.step == "nut"
    assert b.awaiting() == Doing()
    (made,) = b.of(Adjusted)
    assert (made.side, made.back_to) == ("low", "nut")
    assert {f.why for f in b.of(StepReopened)} == {"adjusted"}
    assert [f.why for f in b.of(ReadingSuperseded)] == ["adjusted"]
    b.say("done")
    assert b.state.held["float"]
    b.type("reading 3 thou")
    assert b.state.held["float"] == {}


def test_thought_better_of_nothing_is_adjusted() -> None:
    b = bench(NUT, {**FLOAT, **HIGH_LOW})
    b.say("done")
    b.type("reading 1 thou")
    b.say("adjusted", "wrong")
    assert b.awaiting() == OutOfLimit(0)
    assert b.of(Adjusted) == []
    assert b.state.adjusted == {}


def test_where_one_adjusts_a_value_said_again_is_asked_for_by_name() -> None:
    """A bare value could be a slip or an adjustment; the record must know which."""
    b = bench({**FLOAT, **TURN})
    b.type("reading 6 thou", "reading 3 thou")
    assert b.awaiting() == OutOfLimit(0)
    b.say("correction")
    b.type("reading 3 thou")
    assert [f.why for f in b.of(ReadingSuperseded)] == ["correction"]


def test_rework_opens_the_step_that_made_the_value() -> None:
    b = bench(NUT, {**FLOAT, "made_by": "nut"})
    b.say("done")
    b.type("reading 6 thou")
    b.say("disposition_rework")
    b.type("nut cocked", "inspector mike quebec")
    said = b.say("accept")
    assert b.state.step == "nut"
    assert "Back to Nut on, which is done again." in said
    b.say("done")
    assert b.state.held["float"]
    b.say("skip")
    assert b.state.step == "float"
    b.type("reading 3 thou")
    b.say("go_on")
    assert b.state.outcomes["float"] == "done"


PULL: dict[str, Any] = {
    "id": "pull", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
    "plausible_low": "0 thou", "plausible_high": "30 thou",
}  # fmt: skip
TWICE: dict[str, Any] = {
    "id": "twice", "kind": "derived", "quantity": "preload", "unit": "thou",
    "formula": "pull + pull",
    "inputs": {"pull": "pull"}, "lower": "4 thou", "upper": "8 thou", **TURN,
}  # fmt: skip


def test_a_computed_value_is_adjusted_by_measuring_its_readings_again() -> None:
    b = bench(PULL, TWICE)
    b.type("reading 6 thou")
    assert "Turn the nut a little." in b.say("go_on")
    b.say("adjusted")
    assert b.state.step == "pull"
    assert [f.why for f in b.of(ReadingSuperseded)] == ["adjusted"]
    b.type("reading 3 thou")
    b.say("go_on")
    assert b.state.step == "last"
    assert [f.judgement.verdict for f in b.of(ValueDerived)] == ["out", "in"]
    record = b.record()
    assert [r.superseded_why for r in record.readings if r.status == "superseded"] == [
        "adjusted", "adjusted"]  # fmt: skip


def test_the_board_says_what_to_adjust() -> None:
    b = bench({**FLOAT, **TURN})
    b.type("reading 6 thou")
    view = build_view(b.context, Snapshot(b.state), load_words("en-US"))
    assert any(line.text == "Turn the nut a little." for line in view.lines)


def test_replayed_it_is_the_same() -> None:
    b = bench(NUT, {**FLOAT, **HIGH_LOW})
    b.say("done")
    b.type("reading 1 thou")
    b.say("adjusted", "confirm", "done")
    b.type("reading 6 thou")
    b.say("adjusted")
    assert replay(b.context, b.events) == b.state


def test_a_plain_measurement_is_asked_about_as_ever() -> None:
    b = Bench(procedure(FLOAT, LAST))
    b.start()
    assert "take it again" in b.type("reading 6 thou")
    assert "adjusted" not in b.expected()


def test_the_stand_in_adjusts_as_often_as_it_has_readings() -> None:
    b = bench({**FLOAT, **TURN}, {**FLOAT, "id": "other"})
    two = Answers("C", readings={"float": {"": "reading 6 thou|reading 3 thou"}})
    one = Answers("C", readings={"float": {"": "reading 6 thou"}})
    assert next_line(b.context, b.state, two) == "reading 6 thou"
    b.type("reading 6 thou")
    assert next_line(b.context, b.state, two) == "adjusted"
    assert next_line(b.context, b.state, one) == "use as is"
    b.say("adjusted")
    assert next_line(b.context, b.state, two) == "reading 3 thou"
    b.type("reading 6 thou")
    assert next_line(b.context, b.state, two) == "correction", "it was heard otherwise than said"


def test_the_stand_in_adjusts_what_a_computed_value_comes_from() -> None:
    half = {"id": "half", "kind": "derived", "quantity": "half", "unit": "thou", **TURN,
            "formula": "f / 2", "inputs": {"f": "float"}, "upper": "1 thou"}  # fmt: skip
    b = bench(FLOAT, half)
    two = Answers("C", readings={"float": {"": "reading 4 thou|reading 2 thou"}})
    one = Answers("C", readings={"float": {"": "reading 4 thou"}})
    b.type("reading 4 thou")
    b.say("go_on")
    assert isinstance(b.awaiting(), OutOfLimit)
    assert next_line(b.context, b.state, two) == "adjusted"
    assert next_line(b.context, b.state, one) == "use as is"
    b.say("adjusted")
    assert next_line(b.context, b.state, two) == "reading 2 thou"


@pytest.mark.parametrize(
    ("keys", "reading", "maker"),
    [
        ({"made_by": "nut"}, "6", "nut"),
        (HIGH_LOW, "1", "nut"),
        (HIGH_LOW, "6", None),
        ({**HIGH_LOW, "made_by": "other"}, "1", "other"),
    ],
)
def test_the_step_that_made_a_value_is_the_one_named(
    keys: dict[str, Any], reading: str, maker: str | None
) -> None:
    b = bench(NUT, {**NUT, "id": "other"}, {**FLOAT, **keys})
    b.say("done", "done")
    b.type(f"reading {reading} thou")
    step = b.context.procedure.step("float")
    assert adjusting.maker(b.state, step, b.state.held["float"][""]) == maker
