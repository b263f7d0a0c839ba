"""A line reaches the device whole, whenever it comes: on a fake device with a clock of its own."""

from __future__ import annotations

from concurrent.futures import Future

import numpy as np
import pytest

from assistant.audio.loudspeaker import Loudspeaker
from assistant.speech.errors import SpeechError
from assistant.voice.spoken_cache import Spoken
from tests.audio.fake_sound import FakeSound

RATE = 22050
LINE = np.arange(1, 5001, dtype=np.int16)


def finished(made: Future[Spoken], rate: int = RATE) -> None:
    made.set_result(Spoken(LINE, rate))


@pytest.mark.parametrize("room_s", [0.1, 0.125, 0.25])
@pytest.mark.parametrize("busy_s", [0.0, 0.003, 0.009])
@pytest.mark.parametrize("late_s", [0.0, 0.02, 0.06, 0.1, 0.118, 0.125, 0.131, 0.149, 0.16, 0.4])
def test_the_first_line_is_whole_however_late_it_is_made(
    monkeypatch: pytest.MonkeyPatch, room_s: float, busy_s: float, late_s: float
) -> None:
    """The first silence, 0.15 s, fits into the device's room or does not."""
    fake = FakeSound(monkeypatch, room_s, busy_s)
    made: Future[Spoken] = Future()
    if late_s:
        fake.at(late_s, lambda: finished(made))
    else:
        finished(made)
    assert Loudspeaker().play_when(made) is True
    (stream,) = fake.streams
    start = int(np.argmax(stream.heard))
    assert start >= 0.15 * RATE - 1
    np.testing.assert_array_equal(np.trim_zeros(stream.heard), LINE)


def test_a_machine_that_stands_still_wakes_the_device_again(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Nothing runs for a quarter of a second, just as the line has been made."""
    fake = FakeSound(monkeypatch, 0.125, 0.0)
    made: Future[Spoken] = Future()

    def stands_still() -> None:
        finished(made)
        fake.pass_s(0.25)

    fake.at(0.3, stands_still)
    assert Loudspeaker().play_when(made) is True
    np.testing.assert_array_equal(np.trim_zeros(fake.streams[0].heard), LINE)
    assert int(np.argmax(fake.streams[0].heard)) >= 0.6 * RATE - 1  # 0.05 s after it went on


def test_a_voice_of_another_rate_is_played_at_its_own(monkeypatch: pytest.MonkeyPatch) -> None:
    fake = FakeSound(monkeypatch, 0.125, 0.001)
    made: Future[Spoken] = Future()
    finished(made, 16000)
    assert Loudspeaker().play_when(made) is True
    assert [s.samplerate for s in fake.streams] == [22050, 16000]
    np.testing.assert_array_equal(np.trim_zeros(fake.streams[1].heard), LINE)


def test_cut_while_it_is_being_made_it_never_sounds(monkeypatch: pytest.MonkeyPatch) -> None:
    fake = FakeSound(monkeypatch, 0.125, 0.001)
    speaker = Loudspeaker()
    fake.at(0.3, speaker.stop)
    assert speaker.play_when(Future()) is False
    assert not fake.streams[0].heard.any()


def test_cut_short_little_more_than_what_the_device_holds_is_taken(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fake = FakeSound(monkeypatch, 0.125, 0.001)
    speaker = Loudspeaker()
    fake.at(1.0, speaker.stop)
    assert speaker.play(np.ones(10 * RATE, np.int16), RATE) is False
    assert np.count_nonzero(fake.streams[0].heard) < RATE


def test_a_voice_that_fails_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    fake = FakeSound(monkeypatch, 0.125, 0.001)
    made: Future[Spoken] = Future()
    fake.at(0.3, lambda: made.set_exception(SpeechError("No sound was made.")))
    with pytest.raises(SpeechError, match=r"No sound was made\."):
        Loudspeaker().play_when(made)
