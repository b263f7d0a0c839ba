"""Work ahead: the newest wish is carried out, and a fault in it stops nobody."""

from __future__ import annotations

from collections.abc import Iterator
from threading import Event

from assistant.speech.ahead import NewestOnly
from assistant.speech.errors import SpeechError


def test_a_newer_wish_takes_the_place_of_the_older() -> None:
    begun, go_on = Event(), Event()
    done: list[str] = []

    def steps(wish: str) -> Iterator[None]:
        for number in range(3):
            done.append(f"{wish}{number}")
            begun.set()
            assert go_on.wait(20)
            yield

    ahead = NewestOnly(steps)
    ahead.wish("a")
    assert begun.wait(20)
    ahead.wish("b")
    ahead.wish("c")
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

    ahead = NewestOnly(steps)
    ahead.wish(0)
    assert ahead.settled(20)
    ahead.wish(5)
    assert ahead.settled(20)
    assert done == [5]
    ahead.close()
