"""A log: rows due at their times, late and missed rows, settling, out of limits, resume."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from assistant.dialogue.effects import StartTimer
from assistant.dialogue.events import Heard, Resumed, TimerElapsed
from assistant.dialogue.facts import DispositionRecorded, StepDone
from assistant.dialogue.kinds.log.facts import LogBegunAgain, LogEnded, LogStarted, RowMissed
from assistant.dialogue.kinds.log.states import BetweenRows, LogOffered
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.measurement.states import DigitCheck, Measuring
from assistant.dialogue.states import Ended, OutOfLimit, Review
from assistant.language.hypothesis import typed
from assistant.quantities.tools import Bench as ToolBench
from tests.dialogue.kit import GAUGES, PEOPLE, Bench, procedure, replay

THERMO = {"id": "thermo", "kind": "thermometer", "name": "thermometer", "unit": "degC",
          "resolution": "0.1 degC", "lower": "0 degC", "upper": "150 degC"}  # fmt: skip
FRONT = {"quantity": "front bearing", "unit": "degC", "gauge": "thermo", "upper": "70 degC",
         "plausible_low": "0 degC", "plausible_high": "120 degC"}  # fmt: skip
REAR = {**FRONT, "quantity": "rear bearing"}


def log(**more: object) -> Bench:
    """A log of every ten minutes for half an hour, its start awaited."""
    step: dict[str, Any] = {
        "id": "run_in", "kind": "log", "every": "10 min", "for": "30 min",
        "readings": [FRONT], "stop": "Press the stop button.", **more,
    }  # fmt: skip
    b = Bench(procedure(step, gauges=[*GAUGES, THERMO]))
    b.start()
    assert b.awaiting() == LogOffered()
    return b


def rings(b: Bench, minutes: float) -> str:
    """The timer goes off that long after the present."""
    b.now += timedelta(minutes=minutes)
    return b.feed(TimerElapsed(at=b.at(), step="run_in"))


def row(b: Bench, value: str) -> str:
    """Read the one value of a row, and go on."""
    b.type(f"reading {value}")
    return b.say("go_on")


def run(b: Bench, *values: str) -> None:
    """Start the log and read a row for each value, each at its time."""
    b.say("go_on")
    for number, value in enumerate(values):
        if number:
            rings(b, 10)
        row(b, value)
    assert replay(b.context, b.events) == b.state


def test_a_row_is_asked_for_at_its_time_and_its_instant_is_recorded() -> None:
    b = log()
    assert "Row 1 of 4" in b.say("go_on")
    assert "due in 10 minutes" in row(b, "twenty one")
    assert b.awaiting() == BetweenRows()
    assert "Row 2 of 4" in rings(b, 10)
    row(b, "thirty")
    first, second = b.of(ReadingConfirmed)
    (started,) = b.of(LogStarted)
    assert first.due == started.started
    assert second.due == "2026-01-05T08:10:04+00:00"
    assert second.read_at > second.due
    assert (first.late_s, second.late_s) == (0, 0)


def test_the_timer_of_the_next_row_runs_from_the_last_due_time_not_from_the_reading() -> None:
    b = log()
    b.say("go_on")
    row(b, "twenty")
    b.now += timedelta(minutes=4)  # however late the timer is seen
    rings(b, 10)
    again = [e.until for e in b.effects if isinstance(e, StartTimer)]
    assert again == ["2026-01-05T08:20:04+00:00"]


def test_it_ends_with_its_time() -> None:
    b = log()
    run(b, "twenty", "thirty", "forty", "forty five")
    (ended,) = b.of(LogEnded)
    assert (ended.how, ended.rows, ended.missed) == ("time", 4, 0)
    assert b.awaiting() == Ended()
    assert b.state.waits == {}


def test_without_a_row_at_the_start_the_first_is_due_after_the_interval() -> None:
    b = log(at_start="false")
    assert "due in 10 minutes" in b.say("go_on")
    assert "Row 1 of 3" in rings(b, 10)


def test_a_reading_counts_only_behind_its_readback_and_is_doubted_as_any_other() -> None:
    b = log()
    b.say("go_on")
    assert "thirty Celsius" in b.type("reading thirty")
    assert b.awaiting() == Review()
    assert b.of(ReadingConfirmed) == []
    b.type("reading one hundred thirty")  # beyond what is plausible
    assert isinstance(b.awaiting(), DigitCheck)
    b.type("one three zero")
    assert isinstance(b.awaiting(), OutOfLimit)


def test_a_late_reading_is_marked_and_said() -> None:
    b = log(late="2 min")
    b.say("go_on")
    row(b, "twenty")
    rings(b, 10)
    b.now += timedelta(minutes=5)
    assert "Late by 6 minutes" in b.type("reading thirty")
    b.say("go_on")
    late = b.of(ReadingConfirmed)[-1]
    assert 5 * 60 < late.late_s <= 5 * 60 + 5
    assert "Row 3" in rings(b, 5)


def test_a_row_not_read_before_the_next_is_due_is_missed_and_stands_in_the_record() -> None:
    b = log()
    b.say("go_on")
    row(b, "twenty")
    rings(b, 10)
    assert "One row was missed." in rings(b, 10)
    (missed,) = b.of(RowMissed)
    assert (missed.row, missed.due) == (1, "2026-01-05T08:10:04+00:00")
    assert b.awaiting() == Measuring(2)


def test_a_row_that_is_half_read_is_finished_first() -> None:
    b = log(readings=[FRONT, REAR])
    b.say("go_on")
    b.type("reading twenty", "reading twenty one")
    b.say("go_on")
    rings(b, 10)
    b.type("reading thirty")
    assert "The next row is due" in rings(b, 10)
    assert b.awaiting() == Measuring(3)
    b.type("reading thirty one")
    assert "Row 3 of 4" in b.say("go_on")
    assert b.of(RowMissed) == []


def test_all_rows_whose_time_passed_while_the_machine_was_off_are_missed_at_once() -> None:
    b = log(**{"for": "60 min"})
    b.say("go_on")
    row(b, "twenty")
    b.now += timedelta(minutes=35)
    b.feed(Resumed(at=b.at(), boot="run 2"))
    assert b.awaiting() == Measuring(3)
    assert [m.row for m in b.of(RowMissed)] == [1, 2]
    assert replay(b.context, b.events) == b.state
    row(b, "forty")
    assert "Row 5 of 7" in rings(b, 5)


def test_between_rows_a_resume_says_when_the_next_is_due() -> None:
    b = log()
    b.say("go_on")
    row(b, "twenty")
    b.now += timedelta(minutes=3)
    assert "due in 7 minutes" in b.feed(Resumed(at=b.at(), boot="run 2"))


def test_a_nearly_due_row_may_be_read_early_and_no_other() -> None:
    b = log()
    b.say("go_on")
    row(b, "twenty")
    b.now += timedelta(minutes=5)
    assert "due in 5 minutes" in b.say("go_on")
    b.now += timedelta(minutes=4, seconds=30)
    assert "Row 2" in b.say("go_on")
    row(b, "thirty")
    assert b.of(ReadingConfirmed)[-1].due == "2026-01-05T08:10:04+00:00"


def test_the_steady_clock_decides_what_is_due() -> None:
    b = log()
    b.events[0] = b.events[0].model_copy(update={"boot": "run 1"})
    b.state = replay(b.context, b.events)

    def typed_at(text: str, elapsed_ms: int) -> None:
        b.feed(Heard(at=b.at(), elapsed_ms=elapsed_ms, recognition=typed(text)))

    typed_at("go on", 0)
    typed_at("reading twenty", 5_000)
    typed_at("go on", 6_000)
    b.now += timedelta(days=1)  # somebody sets the wall clock
    b.feed(TimerElapsed(at=b.at(), elapsed_ms=599_999, step="run_in"))
    assert b.awaiting() == BetweenRows()
    b.feed(TimerElapsed(at=b.at(), elapsed_ms=600_000, step="run_in"))
    assert b.awaiting() == Measuring(1)
    typed_at("reading thirty", 600_000 + 61_000)
    typed_at("go on", 600_000 + 62_000)
    assert b.of(ReadingConfirmed)[-1].late_s == 61
    assert b.of(RowMissed) == []


def test_out_of_limits_stops_the_machine_and_holds_for_another_person() -> None:
    b = log()
    b.say("go_on")
    row(b, "twenty")
    rings(b, 10)
    said = b.type("reading seventy five")
    assert said.index("Out of limits") < said.index("Press the stop button")
    assert b.awaiting() == OutOfLimit(1)
    assert rings(b, 10) == ""  # the machine stands
    b.say("disposition_use_as_is")
    b.type("the guard was closed", "inspector mike quebec")
    b.say("accept")
    assert [d.released_by for d in b.of(DispositionRecorded)] == [None, "Marta Quill"]
    assert "Row 3 of 4" in b.say("go_on")


def test_a_reworked_part_is_logged_again_from_the_start() -> None:
    b = log()
    b.say("go_on")
    row(b, "twenty")
    rings(b, 10)
    b.type("reading seventy five")
    b.say("disposition_rework")
    b.type("grease taken out", "inspector mike quebec")
    assert "The log begins again" in b.say("accept")
    assert len(b.of(LogBegunAgain)) == 1
    assert b.awaiting() == LogOffered()
    assert b.state.values["run_in"] == {}
    assert b.state.waits == {}
    run(b, "twenty", "thirty", "forty", "forty one")
    assert [d.how for d in b.of(StepDone)] == ["done"]


def test_a_value_out_of_limits_holds_the_log_at_its_row_until_that_is_read_in_limits() -> None:
    b = log()
    b.say("go_on")
    row(b, "seventy five")
    b.say("disposition_rework")
    b.type("dirt", "inspector mike quebec")
    b.say("accept", "go_on")
    rings(b, 10)  # the row that was out is missed this time
    for value in ("thirty", "forty", "forty one"):
        row(b, value)
        rings(b, 10)
    assert b.of(LogEnded) == []
    assert b.awaiting() == OutOfLimit(0)


SETTLED: dict[str, Any] = {"for": "40 min", "settled": "within 1 degC over 20 min",
                           "at_least": "30 min", "at_most": "60 min"}  # fmt: skip


def test_it_ends_early_once_the_values_have_settled() -> None:
    b = log(**SETTLED)
    run(b, "twenty", "fifty", "fifty point five", "fifty one")
    (ended,) = b.of(LogEnded)
    assert ended.how == "settled"
    assert str(ended.change) == "1 delta_degC"


def test_it_goes_on_behind_its_time_until_they_have() -> None:
    b = log(**SETTLED)
    run(b, "twenty", "thirty", "forty", "forty five", "forty eight", "forty eight point five")
    assert b.of(LogEnded) == []
    rings(b, 10)
    row(b, "forty eight point nine")
    assert b.of(LogEnded)[0].how == "settled"


def test_what_settles_before_its_least_time_is_read_on() -> None:
    b = log(**SETTLED)
    run(b, "twenty", "twenty", "twenty")
    assert b.of(LogEnded) == []


def test_one_degree_and_a_tenth_is_not_settled_within_one() -> None:
    b = log(**SETTLED)
    run(b, "twenty", "fifty", "fifty point five", "fifty one point one")
    assert b.of(LogEnded) == []


def test_a_missed_row_leaves_the_time_of_settling_uncovered() -> None:
    b = log(**SETTLED)
    run(b, "fifty", "fifty", "fifty")
    rings(b, 10)
    rings(b, 10)
    row(b, "fifty")  # 0:40; 0:30 was missed
    assert b.of(LogEnded) == []


def test_what_never_settles_is_decided_on_by_another_person() -> None:
    b = log(**SETTLED)
    values = ("twenty", "thirty", "forty", "forty five", "forty eight", "fifty one", "fifty four")
    run(b, *values)
    assert isinstance(b.awaiting(), OutOfLimit)
    assert "changed by six" in b.feed(Resumed(at=b.at()))
    b.say("disposition_use_as_is")
    b.type("cold water", "inspector mike quebec")
    assert "did not settle" in b.say("accept")
    (ended,) = b.of(LogEnded)
    assert ended.how == "not_settled"
    assert str(ended.change) == "6 delta_degC"
    assert b.awaiting() == Ended()


def test_what_never_settles_may_be_logged_again() -> None:
    b = log(**SETTLED)
    run(b, "twenty", "thirty", "forty", "forty five", "forty eight", "fifty one", "fifty four")
    assert "begins again" in b.say("remeasure")
    run(b, "fifty", "fifty", "fifty", "fifty")
    assert b.of(LogEnded)[0].how == "settled"


def test_correction_between_rows_reads_the_last_row_again() -> None:
    b = log()
    b.say("go_on")
    row(b, "twenty")
    b.say("correction")
    assert b.awaiting() == Measuring(0)
    row(b, "twenty one")
    assert b.awaiting() == BetweenRows()
    assert [str(r.indication) for r in b.of(ReadingConfirmed)] == ["20 degC", "21 degC"]


def test_going_back_takes_the_whole_log_back() -> None:
    step = {"id": "oil", "kind": "action"}
    b = Bench(procedure(step, {"id": "run_in", "kind": "log", "every": "10 min", "for": "30 min",
                               "readings": [FRONT]}, gauges=[THERMO]))  # fmt: skip
    b.start()
    b.say("done", "go_on")
    row(b, "twenty")
    b.say("go_back", "confirm")
    assert b.state.logs == {}
    assert b.state.waits == {}
    assert b.state.values["run_in"] == {}


def test_a_value_of_a_row_can_be_named() -> None:
    b = log(readings=[FRONT, REAR])
    b.say("go_on")
    b.type("rear bearing")
    assert b.awaiting() == Measuring(1)
    b.type("reading thirty", "reading twenty")
    b.say("go_on")
    read = {r.position: str(r.indication) for r in b.of(ReadingConfirmed)}
    assert read == {"front bearing 0:00": "20 degC", "rear bearing 0:00": "30 degC"}


def test_a_value_that_holds_a_log_taken_back_is_decided_on_and_the_log_run_all_the_same() -> None:
    oil = {"id": "oil", "kind": "action"}
    b = Bench(procedure(oil, {"id": "run_in", "kind": "log", "every": "10 min", "for": "10 min",
                              "readings": [FRONT]}, gauges=[THERMO]))  # fmt: skip
    b.start()
    b.say("done", "go_on")
    b.type("reading seventy five")
    b.say("go_back", "confirm", "done")
    assert b.awaiting() == LogOffered()
    b.say("skip", "skip_already_done")
    assert isinstance(b.awaiting(), OutOfLimit)
    assert b.type("reading thirty") == b.type("reading thirty")  # nothing runs to be read
    b.say("disposition_use_as_is")
    b.type("a spike", "inspector mike quebec")
    b.say("accept")
    assert b.awaiting() == LogOffered()
    run(b, "twenty", "thirty")
    assert b.of(LogEnded)[0].how == "time"


def test_a_log_taken_back_that_is_held_may_be_started_again() -> None:
    b = log()
    b.say("go_on")
    row(b, "seventy five")
    b.say("disposition_rework")
    b.type("dirt", "inspector mike quebec")
    b.say("accept", "skip", "skip_already_done", "remeasure")
    assert b.awaiting() == LogOffered()


def test_the_digits_asked_for_are_those_of_the_last_value_of_the_log() -> None:
    """Not those of a measurement before it, which is what "say the digits" once led to."""
    gap = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
           "lower": "5 thou", "upper": "30 thou"}  # fmt: skip
    step = {"id": "run_in", "kind": "log", "every": "10 min", "for": "30 min",
            "readings": [FRONT, REAR], "stop": "Press the stop button."}  # fmt: skip
    b = Bench(procedure(gap, step, gauges=[*GAUGES, THERMO]))
    b.start()
    b.type("reading ten thou")
    b.say("go_on", "go_on")
    b.type("reading 31.5 Celsius")
    said = b.say("digits")
    assert "three one point five" in said
    assert "thou" not in said
    b.hear("reading thirty two celsius", 0.5)
    assert isinstance(b.awaiting(), DigitCheck)
    said = b.say("digits")
    assert "thirty two" in said
    assert "digit by digit" in said


@pytest.mark.parametrize("read", [0, 1])
def test_letting_stand_that_a_log_did_not_settle_ends_no_other_run_of_it(read: int) -> None:
    b = log(**SETTLED)
    values = ("twenty", "thirty", "forty", "forty five", "forty eight", "fifty one", "fifty four")
    run(b, *values)
    b.say("remeasure", "go_on")
    for number, value in enumerate(("twenty", "thirty")[: read + 1]):
        if number:
            rings(b, 10)
        if number < read or not read:
            row(b, value)
    assert "Not settled" in b.say("skip")
    b.say("disposition_use_as_is")
    b.type("good enough", "inspector mike quebec")
    b.say("accept")
    assert b.of(LogEnded) == []  # the run that is under way is read on
    assert b.of(StepDone) == []
    if read:
        row(b, "thirty")
    for value in ("fifty", "fifty", "fifty"):
        rings(b, 10)
        row(b, value)
    assert [e.how for e in b.of(LogEnded)] == ["settled"]
    assert replay(b.context, b.events) == b.state


def test_a_log_that_did_not_settle_is_taken_up_when_its_gauge_ran_out_and_is_back() -> None:
    """Its rows are all read: there is none to wait for, which once ended every resumption."""
    tool = {**THERMO, "calibration_due": "2026-01-05"}
    step = {"id": "run_in", "kind": "log", "every": "10 min", "readings": [FRONT],
            "stop": "Press the stop button.", **SETTLED}  # fmt: skip
    b = Bench(procedure(step, gauges=[*GAUGES, THERMO]))
    b.open(PEOPLE, ToolBench.model_validate({"tools": [tool]}))
    b.type("charlie")
    b.say("confirm")
    values = ("twenty", "thirty", "forty", "forty five", "forty eight", "fifty one", "fifty four")
    run(b, *values)
    assert isinstance(b.awaiting(), OutOfLimit)
    b.now += timedelta(days=1)
    assert "Do not use this tool" in b.feed(Resumed(at=b.at()))
    again = ToolBench.model_validate({"tools": [{**tool, "calibration_due": "2027-01-05"}]})
    assert "Not settled" in b.feed(Resumed(at=b.at(), bench=again))
    assert isinstance(b.awaiting(), OutOfLimit)
    assert replay(b.context, b.events) == b.state
