"""A wait is timed by the clock that nobody sets; where that is lost, the builder is asked."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.dialogue.effects import StartTimer
from assistant.dialogue.events import Heard, Resumed, Revised, TimerElapsed
from assistant.dialogue.facts import WaitOver, WaitStarted
from assistant.dialogue.kinds.action import DoingParts, TimedWork
from assistant.dialogue.states import ClockAsked, RevisionHeard, Waiting
from assistant.language.hypothesis import typed
from tests.dialogue.kit import LAST, Bench, procedure, replay

CURE = {"id": "cure", "kind": "wait", "duration": "12 h"}
HOURS = 3_600_000


def cured(boot: str = "run 1", elapsed: int | None = 1000) -> Bench:
    """The cure has just begun, at ``elapsed`` ms of the steady clock."""
    b = Bench(procedure(CURE, LAST))
    b.start()
    b.state = replay(b.context, [e.model_copy(update={"boot": boot} if e.kind == "opened" else {})
                                 for e in b.events])  # fmt: skip
    b.events[0] = b.events[0].model_copy(update={"boot": boot})
    b.feed(Heard(at=b.at(), elapsed_ms=elapsed, recognition=typed("go on")))
    assert b.awaiting() == Waiting()
    return b


def ring(b: Bench, wall: timedelta, elapsed_ms: int | None) -> list[StartTimer]:
    at = (b.now + wall).isoformat()
    b.feed(TimerElapsed(at=at, elapsed_ms=elapsed_ms, step="cure"))
    return [e for e in b.effects if isinstance(e, StartTimer)]


def resume(b: Bench, wall: timedelta, elapsed_ms: int, boot: str, revised: bool = False) -> str:
    new = Revised(revision="B", sha256="1" * 64, changed=("last",)) if revised else None
    b.now += wall
    said = b.feed(Resumed(at=b.at(), elapsed_ms=elapsed_ms, boot=boot, revised=new))
    assert replay(b.context, b.events) == b.state
    return said


def test_a_wall_clock_that_jumps_a_day_does_not_end_a_cure() -> None:
    b = cured()
    (again,) = ring(b, timedelta(days=1), 1000 + 1 * HOURS)
    assert b.of(WaitOver) == []
    late = datetime.fromisoformat(again.until) - (b.now + timedelta(days=1))
    assert late == timedelta(hours=11)
    assert ring(b, timedelta(days=1, hours=11), 1000 + 12 * HOURS) == []
    assert b.state.step == "last"


def test_a_wall_clock_set_back_does_not_drag_it_out() -> None:
    b = cured()
    ring(b, timedelta(days=-3), 1000 + 12 * HOURS)
    assert len(b.of(WaitOver)) == 1


@given(st.integers(0, 12 * HOURS - 1), st.integers(-(10**6), 10**6))
def test_it_is_over_when_its_time_is_whatever_the_wall_shows(elapsed: int, minutes: int) -> None:
    b = cured()
    ring(b, timedelta(minutes=minutes), 1000 + elapsed)
    assert b.of(WaitOver) == []
    ring(b, timedelta(minutes=minutes), 1000 + 12 * HOURS)
    assert len(b.of(WaitOver)) == 1


def test_what_is_left_is_told_by_the_steady_clock() -> None:
    b = cured()
    said = b.feed(Heard(at=(b.now + timedelta(days=1)).isoformat(), elapsed_ms=1000 + 11 * HOURS,
                        recognition=typed("what is left")))  # fmt: skip
    assert "60 minutes left" in said


def test_whoever_asks_or_goes_on_too_soon_hears_what_is_waited_for() -> None:
    b = cured("", None)
    left = "Wait. cure, 720 minutes left."
    assert b.say("where_am_i").endswith(left)
    assert b.say("go_on") == left  # not to go back, which would start the cure again
    assert b.state.awaiting == Waiting()


def test_a_running_wait_is_named_once_when_the_work_is_taken_up() -> None:
    b = cured()
    said = resume(b, timedelta(hours=2), 1000 + 2 * HOURS, "run 1")
    assert said.count("600 minutes left") == 1


def test_sessions_stored_without_a_steady_clock_go_by_the_wall() -> None:
    b = cured("", None)
    assert ring(b, timedelta(hours=11), None)
    assert ring(b, timedelta(hours=12), None) == []
    assert len(b.of(WaitOver)) == 1


def test_within_one_run_of_the_machine_the_steady_clock_counts_across_a_restart() -> None:
    b = cured()
    said = resume(b, timedelta(days=30), 1000 + 2 * HOURS, "run 1")
    assert "600 minutes left" in said
    assert b.awaiting() == Waiting()
    ring(b, timedelta(), 1000 + 12 * HOURS)
    assert b.state.step == "last"


def test_after_the_machine_was_off_the_wall_clock_counts() -> None:
    b = cured()
    said = resume(b, timedelta(hours=10), 500, "run 2")
    assert "120 minutes left" in said
    ring(b, timedelta(days=9), 500 + 1 * HOURS)
    assert b.of(WaitOver) == []
    ring(b, timedelta(), 500 + 2 * HOURS)
    assert len(b.of(WaitOver)) == 1


HARD_TO_BELIEVE = (timedelta(hours=-1), timedelta(days=5), timedelta(days=9000))


@pytest.mark.parametrize("away", HARD_TO_BELIEVE)
def test_a_clock_that_is_hard_to_believe_after_the_machine_was_off_is_asked_about(
    away: timedelta,
) -> None:
    b = cured()
    said = resume(b, away, 500, "run 2")
    assert "Is the clock right?" in said
    assert isinstance(b.awaiting(), ClockAsked)
    assert not [e for e in b.effects if isinstance(e, StartTimer)]
    said = b.feed(Heard(at=b.at(), elapsed_ms=600, recognition=typed("that is wrong")))
    assert "720 minutes left" in said
    assert b.awaiting() == Waiting()
    assert len(b.of(WaitStarted)) == 2
    ring(b, away, 600 + 12 * HOURS - 1)
    assert b.of(WaitOver) == []
    ring(b, timedelta(), 600 + 12 * HOURS)
    assert b.state.step == "last"


def test_a_clock_that_is_right_after_all_is_gone_by() -> None:
    b = cured()
    resume(b, timedelta(days=30), 500, "run 2")
    said = b.feed(Heard(at=b.at(), elapsed_ms=600, recognition=typed("that is right")))
    assert said.startswith("Wait over: cure.")
    assert b.state.step == "last"
    assert len(b.of(WaitOver)) == 1


def test_the_greeting_names_the_wait_that_ran_out_and_the_work_goes_on() -> None:
    b = cured()
    said = resume(b, timedelta(hours=13), 1000 + 13 * HOURS, "run 1")
    assert "Welcome back." in said
    assert said.count("Wait over: cure.") == 1
    assert "left" not in said
    assert said.index("Wait over") < said.index("Do it.")  # before what is to be done now
    assert b.state.step == "last"
    assert ring(b, timedelta(hours=13), 1000 + 13 * HOURS) == []
    assert len(b.of(WaitOver)) == 1


def test_a_wait_that_still_runs_is_told_beside_one_that_ran_out() -> None:
    first = {**CURE, "meanwhile": ["second"]}
    b = Bench(procedure(first, {"id": "second", "kind": "wait", "duration": "1 h"}, LAST))
    b.start()
    for _ in range(2):
        b.feed(Heard(at=b.at(), recognition=typed("go on")))
    b.now += timedelta(hours=2)
    said = b.feed(Resumed(at=b.at()))
    assert "Wait over: second." in said
    assert said.endswith("Wait. cure, 600 minutes left.")
    assert [w.step for w in b.of(WaitOver)] == ["second"]
    assert b.awaiting() == Waiting()
    assert replay(b.context, b.events) == b.state


def test_a_session_begun_before_has_its_timer_ring_after_the_greeting() -> None:
    b = cured()
    b.events[0] = b.events[0].model_copy(update={"edition": 1})
    b.state = replay(b.context, b.events)
    resume(b, timedelta(hours=13), 1000 + 13 * HOURS, "run 1")
    assert b.of(WaitOver) == []
    ring(b, timedelta(hours=13), 1000 + 13 * HOURS)
    assert len(b.of(WaitOver)) == 1
    assert b.state.step == "last"


SEAL = {"id": "seal", "kind": "action", "within": "8 min"}


def sealing(*before: Mapping[str, object]) -> Bench:
    """Work with a longest time has just begun; then the machine went off."""
    b = Bench(procedure(*before, SEAL, LAST))
    b.start()
    b.events[0] = b.events[0].model_copy(update={"boot": "run 1"})
    b.state = replay(b.context, b.events)
    for _ in range(1 + len(before)):
        b.feed(Heard(at=b.at(), elapsed_ms=1000, recognition=typed("go on")))
    assert b.awaiting() == DoingParts(0)
    return b


@pytest.mark.parametrize("away", [timedelta(seconds=-30), timedelta(minutes=3), timedelta(days=9)])
def test_a_longest_time_is_never_begun_again_when_the_clock_was_wrong(away: timedelta) -> None:
    b = sealing()
    assert "seal was started" in resume(b, away, 500, "run 2")
    said = b.feed(Heard(at=b.at(), elapsed_ms=600, recognition=typed("that is wrong")))
    assert "It is not known how long seal took" in said
    assert "starts again" not in said
    assert b.awaiting() == DoingParts(0)
    said = b.feed(Heard(at=b.at(), elapsed_ms=700, recognition=typed("step done")))
    assert "not known" in said
    (timed,) = b.of(TimedWork)
    assert not timed.known
    assert b.state.step == "last"
    assert replay(b.context, b.events) == b.state


def test_a_longest_time_goes_on_by_a_clock_that_is_right() -> None:
    b = sealing()
    resume(b, timedelta(minutes=3), 500, "run 2")
    b.feed(Heard(at=b.at(), elapsed_ms=600, recognition=typed("that is right")))
    b.feed(Heard(at=b.at(), elapsed_ms=10_500, recognition=typed("step done")))
    (timed,) = b.of(TimedWork)
    assert timed.known
    assert timed.took_s in range(190, 193)


def test_a_cure_starts_again_beside_a_longest_time_that_is_lost() -> None:
    b = sealing({**CURE, "meanwhile": ["seal"]})
    resume(b, timedelta(days=-1), 500, "run 2")
    said = b.feed(Heard(at=b.at(), elapsed_ms=600, recognition=typed("that is wrong")))
    assert "starts again now" in said
    assert "720 minutes left" in said
    assert "how long seal took" in said
    assert list(b.state.waits) == ["cure"]


@pytest.mark.parametrize("away", [timedelta(hours=13), timedelta(days=4)])
def test_a_night_or_a_long_weekend_is_not_asked_about(away: timedelta) -> None:
    b = cured()
    assert "clock" not in resume(b, away, 500, "run 2")


def test_a_revision_is_told_after_the_clock_was_asked_about() -> None:
    b = cured()
    resume(b, timedelta(days=30), 500, "run 2", revised=True)
    b.say("confirm")
    assert isinstance(b.awaiting(), RevisionHeard)
    b.say("understood")
    assert b.state.step == "last"


def test_the_question_is_asked_again_at_the_next_resume() -> None:
    b = cured()
    resume(b, timedelta(days=30), 500, "run 2")
    b.say("stop_work", "confirm")
    assert "Is the clock right?" in resume(b, timedelta(), 500, "run 3")
    assert b.awaits(ClockAsked).back == Waiting()


def test_sessions_that_were_resumed_unasked_replay_unasked() -> None:
    b = cured("", None)
    b.now += timedelta(days=30)
    b.feed(Resumed(at=b.at()))
    assert b.state.step == "last"


def test_the_end_of_one_wait_is_not_lost_when_another_begins() -> None:
    first = {**CURE, "meanwhile": ["second"]}
    second = {"id": "second", "kind": "wait", "duration": "1 h"}
    b = Bench(procedure(first, second, LAST))
    b.start()
    b.events[0] = b.events[0].model_copy(update={"boot": "run 1"})
    b.state = replay(b.context, b.events)
    for line in ("go on", "go on"):
        b.feed(Heard(at=b.at(), elapsed_ms=1000, recognition=typed(line)))
    assert b.state.wait_ends == {"cure": 1000 + 12 * HOURS, "second": 1000 + HOURS}


HOT = {"id": "hot", "kind": "action"}
COOL = {"id": "cool", "kind": "wait", "duration": "10 min", "at_once": True, "meanwhile": ["seal"]}
SEALED = {"id": "seal", "kind": "action"}


def test_a_wait_that_starts_at_once_runs_from_the_end_of_the_step_before() -> None:
    b = Bench(procedure(HOT, COOL, SEALED, LAST))
    b.start()
    assert b.of(WaitStarted) == []
    b.say("done")
    (began,) = b.of(WaitStarted)
    assert began.started == b.now.isoformat()
    assert b.state.step == "seal"
    b.say("done")
    assert b.awaiting() == Waiting()  # the last step is not among what may go on meanwhile


def test_going_back_goes_over_a_wait_that_started_by_itself_and_takes_it_back() -> None:
    b = Bench(procedure(HOT, COOL, SEALED, LAST))
    b.start()
    b.say("done", "go_back", "confirm")
    assert b.state.step == "hot"
    assert b.state.waits == {}
    b.say("done")
    assert len(b.of(WaitStarted)) == 2
    assert b.state.step == "seal"


def test_a_caution_of_a_wait_is_acknowledged_before_it_starts() -> None:
    b = Bench(procedure(HOT, {**COOL, "cautions": ["Hot."]}, SEALED, LAST))
    b.start()
    b.say("done")
    assert b.of(WaitStarted) == []
    b.say("understood")
    assert len(b.of(WaitStarted)) == 1
