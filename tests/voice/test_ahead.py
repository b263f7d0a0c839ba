"""Work ahead: the newest wish is carried out, and a fault in it stops nobody."""

from __future__ import annotations

from collections.abc import Iterator
from threading import Event

from assistant.speech.errors import SpeechError
from assistant.voice.latest_task import LatestTaskRunner


def test_a_newer_wish_takes_the_place_of_the_older() -> None:
    begun, go_on = Event(), Event()
    done: list[str] = []

    def steps(wish: str) -> Iterator[None]:
        for number in range(3):
            done.append(f"{wish}{number}")
            begun.set()
            assert go_on.wait(20)
            yield

    ahead = LatestTaskRunner(steps)
    ahead.submit("a")
    assert begun.wait(20)
    ahead.submit("b")
    ahead.submit("c")
    go_on.set()
    assert ahead.settled(20)
    assert done == ["a0", "c0", "c1", "c2"]
    ahead.close()


def test_a_fault_ends_one_wish_only() -> None:
    done: list[int] = []

    def steps(wish: int) -> Iterator[None]:
        if wish == 0:
            raise SpeechError("The synthesiser failed.")
        done.append(wish)
        yield

    ahead = LatestTaskRunner(steps)
    ahead.submit(0)
    assert ahead.settled(20)
    ahead.submit(5)
    assert ahead.settled(20)
    assert done == [5]
    ahead.close()
