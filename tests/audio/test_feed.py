"""A loudspeaker whose stream stays open gives each line whole, counted in samples."""

from __future__ import annotations

from collections.abc import Callable
from threading import Event, Thread
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.audio import duplex
from assistant.audio.duplex import DuplexLoudspeaker
from assistant.audio.feed import PlaybackBuffer
from assistant.speech.errors import SpeechError
from assistant.speech.types import Samples

LINE = np.arange(1, 5001, dtype=np.int16)


@given(st.lists(st.integers(1, 700), min_size=40), st.integers(0, 30))
def test_silence_then_the_whole_line(takes: list[int], late: int) -> None:
    feed = PlaybackBuffer()
    got = [feed.give(n) for n in takes[:late]]
    feed.put(LINE)
    got += [feed.give(n) for n in [*takes[late:], *[500] * 20]]
    sound = np.concatenate(got)
    start = sum(takes[:late])
    np.testing.assert_array_equal(sound[start : start + len(LINE)], LINE)
    assert np.count_nonzero(sound) == len(LINE)
    assert feed.given(0.0) is True


class Stream:
    """Takes blocks in a thread of its own, as fast as it can."""

    latency = 0.1

    def __init__(self, callback: Callable[..., None], ended: Callable[[], None]) -> None:
        self.active = False
        self.taken: list[Samples] = []
        self.before: Callable[[int], None] = lambda number: None
        self._callback, self._ended, self._closing = callback, ended, Event()
        self._thread = Thread(target=self._run)

    def start(self) -> None:
        self.active = True
        self._thread.start()

    def abort(self, ignore_errors: bool) -> None:
        self._closing.set()

    def close(self, ignore_errors: bool) -> None:
        self._thread.join()

    def _run(self) -> None:
        number = 0
        while not self._closing.is_set():
            self.before(number)
            out = np.empty((320, 1), np.int16)
            self._callback(out, 320, None, None)
            if out.any():
                self.taken.append(out[:, 0])
                number += 1
        self.active = False
        self._ended()


class Sound:
    """In place of the module sounddevice."""

    PortAudioError = RuntimeError

    def __init__(self) -> None:
        self.streams: list[Stream] = []
        self.before: Callable[[int], None] = lambda number: None

    def OutputStream(  # noqa: N802
        self, *order: Any, callback: Callable[..., None], finished_callback: Callable[[], None]
    ) -> Stream:
        stream = Stream(callback, finished_callback)
        stream.before = self.before
        self.streams.append(stream)
        return stream


@pytest.fixture
def sound(monkeypatch: pytest.MonkeyPatch) -> Sound:
    found = Sound()
    monkeypatch.setattr(duplex, "portaudio", lambda: found)
    monkeypatch.setattr(duplex, "find_device", lambda *asked: {"index": 0, "name": "fake"})
    return found


def test_line_after_line_is_given_whole_and_known(sound: Sound) -> None:
    speaker = DuplexLoudspeaker()
    assert speaker.play(LINE, 16000) is True
    assert speaker.play(LINE[::-1], 16000) is True
    speaker.close()
    (stream,) = sound.streams
    taken = np.concatenate(stream.taken)
    np.testing.assert_array_equal(taken[taken != 0], np.concatenate((LINE, LINE[::-1])))
    assert speaker.played.position().since is None


def test_cut_short_the_rest_is_not_given(sound: Sound) -> None:
    speaker = DuplexLoudspeaker()
    sound.before = lambda taken: speaker.stop() if taken == 3 else None
    assert speaker.play(np.ones(10_000_000, np.int16), 16000) is False
    speaker.close()
    assert len(sound.streams[0].taken) <= 4


def test_a_loudspeaker_that_is_pulled_out_says_so_and_is_opened_again(sound: Sound) -> None:
    speaker = DuplexLoudspeaker()
    sound.before = lambda taken: sound.streams[0].abort(True) if taken == 3 else None
    with pytest.raises(SpeechError, match="takes no sound any more; plug it in again"):
        speaker.play(np.ones(10_000_000, np.int16), 16000)
    sound.before = lambda taken: None
    assert speaker.play(LINE, 16000) is True
    speaker.close()
    assert len(sound.streams) == 2
