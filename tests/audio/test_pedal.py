"""Hold to talk: only what was said around the holding gets through, from any kind of pedal."""

from __future__ import annotations

import os
import pty
from collections import namedtuple
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from threading import Event

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.audio.hold import HoldToTalk, RepeatingKey, held_only
from assistant.audio.pedal import EvdevPedal, TerminalPedal, find_pedal
from assistant.audio.synthesis import say
from assistant.speech.endpoint import utterances
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples
from tests.ears import shipped_ear

BLOCKS = st.lists(st.tuples(st.integers(1, 40), st.booleans()), max_size=40)
BEFORE, AFTER = 25, 30  # samples, in these tests


def gate() -> HoldToTalk:
    return HoldToTalk(BEFORE / SAMPLE_RATE, AFTER / SAMPLE_RATE)


def numbered(lengths: list[int]) -> list[Samples]:
    """Blocks whose samples count up from 1, so that each tells where it was captured."""
    ends = np.cumsum([0, *lengths])
    return [np.arange(a + 1, b + 1, dtype=np.int16) for a, b in pairwise(ends)]


# The gate ------------------------------------------------------------------------------------


@given(BLOCKS)
def test_what_is_held_passes_whole_and_in_order_with_a_little_around_it(
    blocks: list[tuple[int, bool]],
) -> None:
    sound = numbered([length for length, _ in blocks])
    hold = gate()
    out: list[int] = []
    for block, (_, held) in zip(sound, blocks, strict=True):
        for part in hold.take(block, held):
            out += part.tolist()
    passed = [s for s in out if s]
    assert passed == sorted(set(passed))  # in order, nothing twice
    held_samples = {int(s) for b, (_, h) in zip(sound, blocks, strict=True) if h for s in b}
    allowed = {s + by for s in held_samples for by in range(-BEFORE, AFTER + 1) if s + by > 0}
    assert held_samples <= set(passed)
    assert set(passed) <= allowed


@given(BLOCKS)
def test_time_goes_on_while_nothing_passes(blocks: list[tuple[int, bool]]) -> None:
    """Silence comes out in place of what is held back, else no utterance would ever end."""
    hold = gate()
    for block, (_, held) in zip(numbered([n for n, _ in blocks]), blocks, strict=True):
        assert sum(map(len, hold.take(block, held))) >= len(block)


def test_nothing_passes_unheld() -> None:
    hold = gate()
    assert not np.concatenate(hold.take(np.full(500, 9, np.int16), held=False)).any()


@given(st.integers(1, 400))
def test_the_end_passes_as_long_as_it_should(length: int) -> None:
    hold = gate()
    hold.take(np.full(10, 1, np.int16), held=True)
    out = np.concatenate(hold.take(np.full(length, 1, np.int16), held=False))
    assert int(out.sum()) == min(length, AFTER)


def test_blocks_of_a_microphone_go_through_the_pedal() -> None:
    class Script:
        def __init__(self, *held: bool) -> None:
            self._held = iter(held)

        def held(self) -> bool:
            return next(self._held)

        def close(self) -> None: ...

    sound = numbered([100, 100, 100])
    passed = np.concatenate(list(held_only(sound, Script(False, True, False), gate())))
    assert [int(s) for s in passed if s] == list(range(100 - BEFORE + 1, 200 + AFTER + 1))


# Keys of a terminal --------------------------------------------------------------------------


def test_a_held_key_counts_until_its_repeats_end() -> None:
    key = RepeatingKey(first_s=0.7, repeat_s=0.25)
    assert not key.held(0.0)
    key.pressed(10.0)
    assert key.held(10.5)  # the first repeat may still come
    assert not key.held(10.8)
    for repeat in range(20):
        key.pressed(20.5 + repeat * 0.03) if repeat else key.pressed(20.0)
    last = 20.5 + 19 * 0.03
    assert key.held(last + 0.2)
    assert not key.held(last + 0.3)
    key.pressed(30.0)  # a new press has its first delay again
    assert key.held(30.6)


def test_keys_of_a_real_terminal_are_seen_and_the_terminal_is_given_back() -> None:
    import termios

    seen = Event()

    class Seen(RepeatingKey):
        def pressed(self, at_s: float) -> None:
            super().pressed(at_s)
            seen.set()

    leader, follower = pty.openpty()
    before = termios.tcgetattr(follower)
    pedal = TerminalPedal(follower, Seen(), clock=lambda: 5.0)
    assert not pedal.held()
    os.write(leader, b"b")
    assert seen.wait(20)
    assert pedal.held()
    pedal.close()
    after = termios.tcgetattr(follower)
    assert after[3] & termios.ECHO == before[3] & termios.ECHO
    assert after[3] & termios.ICANON == before[3] & termios.ICANON
    os.close(leader)
    os.close(follower)


def test_without_a_terminal_it_says_what_to_do(tmp_path: Path) -> None:
    with (tmp_path / "file").open("w") as file, pytest.raises(SpeechError, match="--pedal"):
        TerminalPedal(file.fileno())


# A foot pedal --------------------------------------------------------------------------------

# Values of the kernel's interface, linux/input-event-codes.h: EV_SYN 0, EV_KEY 1; key value 0 is
# release, 1 press, 2 repeat. KEY_B is 48, KEY_C 46.
KeyEvent = namedtuple("KeyEvent", "type code value")


class FakeDevice:
    """An input device whose events are known in advance; ``after`` is asked after each."""

    name = "Kettlebeck double treadle"

    def __init__(self, events: list[KeyEvent], after: Callable[[], None]) -> None:
        self._events = events
        self._after = after
        self.grabbed = False

    def grab(self) -> None:
        self.grabbed = True

    def close(self) -> None: ...

    def read_loop(self) -> Iterator[KeyEvent]:
        for event in self._events:
            yield event
            self._after()  # the reader has come back for more: the event has been dealt with
        raise OSError(19, "No such device")  # what the library raises when it is unplugged


def test_a_pedal_is_held_while_any_of_its_keys_is_down() -> None:
    ready = Event()
    states: list[bool] = []
    pedals: list[EvdevPedal] = []

    def note() -> None:
        assert ready.wait(20)
        states.append(pedals[0].held())

    events = [
        KeyEvent(1, 48, 1), KeyEvent(0, 0, 0), KeyEvent(1, 48, 2), KeyEvent(1, 46, 1),
        KeyEvent(1, 48, 0), KeyEvent(1, 46, 0), KeyEvent(4, 4, 1),
    ]  # fmt: skip
    device = FakeDevice(events, note)
    pedals.append(EvdevPedal(device))
    ready.set()
    pedals[0]._reader.join(20)
    assert device.grabbed
    assert states == [True, True, True, True, True, False, False]


def test_an_unplugged_pedal_is_told_of_and_does_not_hold_on() -> None:
    pedal = EvdevPedal(FakeDevice([KeyEvent(1, 48, 1)], lambda: None))
    pedal._reader.join(20)
    with pytest.raises(SpeechError, match="Kettlebeck double treadle' is gone; plug it in again"):
        pedal.held()


def test_a_pedal_in_use_is_told_of() -> None:
    class Taken(FakeDevice):
        def grab(self) -> None:
            raise OSError(16, "Device or resource busy")

    with pytest.raises(SpeechError, match="in use by another program"):
        EvdevPedal(Taken([], lambda: None))


def test_a_pedal_that_is_not_there_is_one_sentence() -> None:
    with pytest.raises(SpeechError, match=r"no pedal called 'nosuch'|library evdev"):
        find_pedal("nosuch")


@pytest.mark.skipif(
    not os.access("/dev/uinput", os.W_OK), reason="/dev/uinput is not there or not for us"
)
def test_a_pedal_that_the_kernel_makes() -> None:
    evdev = pytest.importorskip("evdev")
    with evdev.UInput({1: [48]}, name="Kettlebeck treadle") as made:
        pedal = find_pedal("kettlebeck treadle")
        made.write(1, 48, 1)
        made.syn()
        for _ in range(100_000):
            if pedal.held():
                break
        assert pedal.held()
        pedal.close()


@pytest.mark.audio
def test_a_recogniser_behind_a_pedal_hears_what_was_said_while_it_was_held() -> None:
    """Spoken before, under and after the pedal; the speaker starts and stops on the pedal."""
    quiet = np.zeros(SAMPLE_RATE, np.int16)
    lines = [say(text, "slt") for text in ("stop work", "step done", "go on")]
    sound = np.concatenate([quiet, lines[0], quiet, lines[1], quiet, lines[2], quiet])
    begins = len(quiet) + len(lines[0]) + len(quiet)
    ends = begins + len(lines[1])
    blocks = [sound[i : i + 1600] for i in range(0, len(sound), 1600)]

    class Foot:
        def __init__(self) -> None:
            self.at = 0

        def held(self) -> bool:
            self.at += 1600
            return begins < self.at and self.at - 1600 < ends

        def close(self) -> None: ...

    engine = shipped_ear()
    engine.listen_for(
        "#JSGF V1.0; grammar c; public <c> = step done | go on | stop work;",
        ("step", "done", "go", "on", "stop", "work"),
    )
    found = [engine.recognise(u) for u in utterances(held_only(blocks, Foot()))]
    assert [r.hypotheses[0].text for r in found if r.hypotheses] == ["step done"]
