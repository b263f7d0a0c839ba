"""The echo stays in step with what is played, however late blocks arrive on a busy machine."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import pytest

from assistant.audio.echo import EchoGate, Played, webrtc_canceller
from assistant.audio.synthesis import say
from assistant.speech.choice import choose_engine
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance

OUT, IN = SAMPLE_RATE // 50, SAMPLE_RATE // 10
DELAY = 3000  # samples from what is given to the loudspeaker to what is captured


class Beside:
    """In place of the canceller: notes what came together."""

    def __init__(self) -> None:
        self.near: list[Samples] = []
        self.far: list[Samples] = []

    def process(self, near: Samples, far: Samples) -> Samples:
        assert len(near) == len(far)
        self.near.append(near)
        self.far.append(far)
        return near


def numbered(seconds: float) -> Samples:
    """Played sound in which each sample tells its place (it repeats after two seconds)."""
    return (np.arange(int(seconds * SAMPLE_RATE)) % (2 * SAMPLE_RATE) - SAMPLE_RATE).astype(
        np.int16
    )


def run(
    gate: EchoGate, played: Played, far: Samples, near: Samples, order: Iterable[str]
) -> Samples:
    """Give and take blocks in ``order`` ("o" a block is played, "i" one is captured)."""
    played.begin()
    heard: list[Samples] = []
    given = taken = 0
    for turn in order:
        if turn == "o":
            played.put(far[given : given + OUT])
            given += OUT
        else:
            block = near[taken : taken + IN]
            taken += IN
            if len(block) == IN and (got := gate.take(block)) is not None:
                heard.append(got)
    return np.concatenate(heard)


def late(order: str, busy: str) -> str:
    """``order`` with blocks kept waiting: "o" those played, "i" those captured, 0.3 s each time."""
    out, kept = [], 0
    for number, turn in enumerate(order):
        waits = turn == busy and number % 90 > 60
        if waits:
            kept += 1
            continue
        if kept and number % 90 < 60:
            out.append(busy * kept)
            kept = 0
        out.append(turn)
    return "".join([*out, busy * kept])


def steady(seconds: float) -> str:
    return "oooooi" * int(seconds * 10)


@pytest.mark.parametrize("busy", ["o", "i"])
def test_blocks_that_come_late_change_nothing(busy: str) -> None:
    far = numbered(20)
    near = np.concatenate((np.zeros(DELAY, np.int16), far))[: len(far)]
    calm, hurried = Beside(), Beside()
    for beside, order in ((calm, steady(19)), (hurried, late(steady(19), busy))):
        played = Played()
        run(EchoGate(played, beside), played, far, near, order)
    a, b = np.concatenate(calm.far), np.concatenate(hurried.far)
    length = min(len(a), len(b))
    assert length > 18 * SAMPLE_RATE
    np.testing.assert_array_equal(a[:length], b[:length])
    np.testing.assert_array_equal(
        np.concatenate(calm.near)[:length], np.concatenate(hurried.near)[:length]
    )


def step_of(beside: Beside, last_s: float = 1.0) -> set[int]:
    """By how many samples what was played ran ahead of its echo, at the end."""
    count = int(last_s * SAMPLE_RATE)
    near, far = np.concatenate(beside.near)[-count:], np.concatenate(beside.far)[-count:]
    return set(np.unique((far.astype(int) - near) % (2 * SAMPLE_RATE)).tolist())


@pytest.mark.parametrize(("lost", "of"), [(6000, "near"), (6000, "far"), (90000, "near")])
def test_lost_sound_is_made_up_for(lost: int, of: str) -> None:
    """More than the loudspeaker's 0.2 s: what was played may never come after its echo."""
    far = numbered(30)
    near = np.concatenate((np.zeros(DELAY, np.int16), far))[: len(far)]
    cut = 10 * SAMPLE_RATE
    beside, played = Beside(), Played()
    gate = EchoGate(played, beside)
    if of == "near":
        near = np.concatenate((near[:cut], near[cut + lost :]))
        blocks = int(len(near) / IN)
        order = steady(10) + "o" * (lost // OUT) + steady((blocks - 100) / 10)
    else:  # the loudspeaker ran dry, and its sound comes later from then on
        near = np.concatenate((near[:cut], np.zeros(lost, np.int16), near[cut:]))
        order = steady(10) + "i" * (lost // IN) + steady(15)
    run(gate, played, far, near, order)
    (ahead,) = step_of(beside)
    assert 0 < ahead < SAMPLE_RATE // 2  # what AEC3 finds


def test_nothing_that_sounds_holds_nothing_back() -> None:
    beside, played = Beside(), Played()
    gate = EchoGate(played, beside)
    block = numbered(0.1)
    for _ in range(3):
        got = gate.take(block)
        assert got is not None
        np.testing.assert_array_equal(got, block)
    assert not np.concatenate(beside.far).any()


def test_a_loudspeaker_that_stands_still_holds_back_half_a_second_at_most() -> None:
    beside, played = Beside(), Played()
    gate = EchoGate(played, beside)
    sound = numbered(6.0)
    got = run(gate, played, sound, sound, steady(3) + "i" * 30)
    assert len(got) > 5.4 * SAMPLE_RATE
    np.testing.assert_array_equal(got, sound[: len(got)])


def test_a_loudspeaker_opened_again_is_matched_again() -> None:
    far = numbered(10)
    near = np.concatenate((np.zeros(DELAY, np.int16), far))[: len(far)]
    beside, played = Beside(), Played()
    gate = EchoGate(played, beside)
    run(gate, played, far, near, steady(5))
    played.end()
    run(gate, played, far, near, steady(5))
    (ahead,) = step_of(beside)
    assert 0 < ahead < SAMPLE_RATE // 2


@pytest.mark.audio
@pytest.mark.parametrize("busy", ["o", "i"])
def test_stop_work_keeps_its_confidence_on_a_busy_machine(busy: str) -> None:
    """Said over a line, in an echo as loud as the voice, while blocks arrive late."""
    line = say(
        "Notice. Close the penstock and lock it. Let the shaft run down. Hang up the tag. "
        "Look at the drawing while I read to you. Wear your glasses and your gloves.",
        "slt",
    )
    words = say("stop work", "rms")
    seconds = len(line) // SAMPLE_RATE
    far = line[: seconds * SAMPLE_RATE]
    echo = np.concatenate((np.zeros(DELAY, np.int16), far // 2))[: len(far)]
    start = len(far) - len(words) - SAMPLE_RATE
    mixed = echo.astype(np.int32)
    mixed[start : start + len(words)] += words
    near = np.clip(mixed, -32768, 32767).astype(np.int16)
    engine = choose_engine("en-US").engine
    grammar = "#JSGF V1.0; grammar c; public <c> = stop work | repeat | slower | louder;"
    engine.listen_for(grammar, ("stop", "work", "repeat", "slower", "louder"))
    sure = []
    for order in (steady(seconds), late(steady(seconds), busy)):
        played = Played()
        got = run(EchoGate(played, webrtc_canceller()), played, far, near, order)
        said = got[start - SAMPLE_RATE // 4 : start + len(words) + SAMPLE_RATE // 4]
        found = engine.recognise(Utterance(said, 0.0, len(said) / SAMPLE_RATE)).hypotheses
        assert [h.text for h in found[:1]] == ["stop work"]
        sure.append(found[0].confidence)
    assert sure[1] == sure[0] >= 0.7
