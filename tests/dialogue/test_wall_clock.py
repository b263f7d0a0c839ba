"""What is left of a long wait is said by the clock on the wall.

Zones and their summer time are those of the IANA time zone database (``zoneinfo``). How the hour is
said in Korean (native numerals and 시, Sino-Korean ones and 분) is from memory.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.events import LocalTime, Opened, Resumed
from assistant.dialogue.state import State
from assistant.dialogue.turn import Turn
from assistant.dialogue.wall_clock import over_at
from assistant.language import Language
from assistant.session.local_time import local_time
from tests.dialogue.kit import Bench, procedure, replay

CURE = {"id": "cure", "kind": "wait", "duration": "72 h", "say": "The sealant cures."}
LAST = {"id": "last", "kind": "action", "after": ["cure"]}
FRIDAY = datetime(2026, 1, 9, 14, 30, tzinfo=UTC)


def words(at: datetime, left: timedelta, zone: str = "UTC", tag: str = "en-US") -> str:
    """When ``left`` is over, as it is said in a zone."""
    context = Context(procedure(LAST | {"after": []}), Language.load(tag))
    state = replace(State(), local=local_time(at, ZoneInfo(zone)))
    return over_at(Turn(context, state, at.isoformat()), left)


@pytest.mark.parametrize(
    ("hours", "said"),
    [
        (0.5, ""),
        (1, ""),
        (1.5, "four o'clock in the afternoon"),
        (5.65, "eight oh nine in the evening"),
        (9.5, "midnight"),
        (21.5, "tomorrow, noon"),
        (33.5, "tomorrow, midnight"),
        (57.5, "Sunday, midnight"),
        (43.5, "Sunday, ten o'clock in the morning"),
        (6 * 24 - 3, "Thursday, eleven thirty in the morning"),
        (9 * 24 + 8.75, "Sunday in 9 days, eleven fifteen at night"),
    ],
)
def test_the_end_of_a_wait_in_words(hours: float, said: str) -> None:
    assert words(FRIDAY, timedelta(hours=hours)) == said


def test_never_before_it_is_over() -> None:
    assert words(FRIDAY, timedelta(hours=2, seconds=1)) == "four thirty one in the afternoon"


def test_the_day_is_that_of_the_workshop() -> None:
    assert words(FRIDAY, timedelta(hours=3), "Asia/Seoul") == "tomorrow, two thirty at night"
    assert words(FRIDAY, timedelta(hours=3), "Asia/Seoul", "ko-KR") == "내일 새벽 두 시 삼십 분"
    assert words(FRIDAY, timedelta(hours=12), "Asia/Seoul", "ko-KR") == "내일 오전 열한 시 삼십 분"


def test_summer_time_that_begins_meanwhile() -> None:
    # In Europe summer time begins on the last Sunday of March at 01:00 UTC (Directive 2000/84/EC,
    # Article 2): 29 March 2026
    saturday = datetime(2026, 3, 28, 9, 0, tzinfo=UTC)  # ten o'clock in Vienna
    assert words(saturday, timedelta(hours=24), "Europe/Vienna") == (
        "tomorrow, eleven o'clock in the morning"
    )
    told = local_time(saturday, ZoneInfo("Europe/Vienna"))
    assert told.minutes == 60
    ((since, minutes),) = told.changes
    assert abs(datetime.fromisoformat(since) - datetime(2026, 3, 29, 1, tzinfo=UTC)) <= timedelta(
        minutes=1
    )
    assert minutes == 120


def at_the_cure(local: LocalTime | None) -> Bench:
    """A bench at which a cure of three days runs."""
    b = Bench(procedure(CURE, LAST))
    b.open()
    opening = b.events[0]
    assert isinstance(opening, Opened)
    b.state, b.events = State(), []
    b.feed(opening.model_copy(update={"local": local}))
    b.type("charlie")
    b.say("confirm", "go_on")
    return b


def test_the_builder_hears_the_day_and_the_hour_and_a_replay_gives_the_same() -> None:
    b = at_the_cure(LocalTime(minutes=120))
    said = b.say("what_is_left")
    assert "cure, until Thursday, ten oh one in the morning." in said
    assert "minutes" not in said
    assert replay(b.context, b.events) == b.state


def test_without_the_local_time_minutes_are_said() -> None:
    assert "minutes left" in at_the_cure(None).say("what_is_left")


def test_a_bench_in_another_zone_tells_its_own() -> None:
    b = at_the_cure(LocalTime(minutes=120))
    b.feed(Resumed(at=b.at(), local=LocalTime(minutes=540)))
    assert "Thursday, five oh one in the afternoon" in b.say("what_is_left")
