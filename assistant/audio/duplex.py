"""A loudspeaker that can be listened beside: it knows, sample by sample, what it plays.

Its stream stays open and plays silence between lines, so that the time from what is played to what
comes back in the microphone stays the same.
"""

from __future__ import annotations

from concurrent.futures import Future
from threading import Event
from typing import Any

import numpy as np
import soxr

from assistant.audio.devices import PLAYING, close_before_looking, find_device, portaudio
from assistant.audio.echo import Played
from assistant.audio.feed import PlaybackBuffer
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples
from assistant.voice.spoken_cache import Spoken

_BLOCK = SAMPLE_RATE // 50
_AHEAD_S = 0.2
_DEAD_S = 3.0  # a live loudspeaker asks for sound every few hundredths of a second


class DuplexLoudspeaker:
    """Plays mono int16 sound on a stream that stays open; ``played`` keeps what it gives out.

    Raises:
        SpeechError: there is no loudspeaker.
    """

    def __init__(self, device: str | None = None) -> None:
        find_device(device, "output")
        self._wanted = device
        self.played = Played()
        self._stream: Any = None
        self._feed = PlaybackBuffer()
        self._cut = Event()
        close_before_looking(self.close)

    def play(self, samples: Samples, rate: int) -> bool:
        """Play and return when it has sounded; False when it was cut short.

        Raises:
            SpeechError: the loudspeaker is gone or cannot be used.
        """
        self._cut.clear()
        return self._play(samples, rate)

    def play_when(self, made: Future[Spoken]) -> bool:
        """As :meth:`play`, with sound that is still being made.

        Raises:
            SpeechError: the loudspeaker is gone or cannot be used, or making the sound failed.
        """
        self._cut.clear()
        spoken = made.result()
        return self._play(spoken.samples, spoken.rate)

    def stop(self) -> None:
        """Cut short what is playing; may be called from any thread."""
        self._cut.set()
        self._feed.cut()

    def close(self) -> None:
        """Close the stream; the next line opens it again."""
        with PLAYING:
            self._drop()

    def _play(self, samples: Samples, rate: int) -> bool:
        if rate != SAMPLE_RATE:
            samples = soxr.resample(samples, rate, SAMPLE_RATE)
        with PLAYING:
            if self._cut.is_set():
                return False
            latency_s = self._open()
            rest = np.zeros(int(latency_s * SAMPLE_RATE), np.int16)
            self._feed.put(np.concatenate((samples, rest)))
            if self._cut.is_set():  # a moment before
                self._feed.cut()
            try:
                return self._feed.given(_DEAD_S)
            except TimeoutError as error:
                self._drop()
                raise SpeechError(
                    "The loudspeaker takes no sound any more; plug it in again, or choose another "
                    "as the system's default."
                ) from error

    def _drop(self) -> None:
        stream, self._stream = self._stream, None
        self.played.end()
        if stream is not None:
            stream.abort(ignore_errors=True)
            stream.close(ignore_errors=True)

    def _open(self) -> float:
        """Open the stream where it is not open; returns its latency in seconds."""
        if self._stream is None or not self._stream.active:
            self._drop()
            sound = portaudio()
            found = find_device(self._wanted, "output")
            feed = self._feed = PlaybackBuffer()
            try:
                self._stream = sound.OutputStream(
                    SAMPLE_RATE, _BLOCK, found["index"], 1, "int16", _AHEAD_S,
                    callback=self._give, finished_callback=feed.end,
                )  # fmt: skip
                self.played.begin()
                self._stream.start()
            except sound.PortAudioError as error:
                self._stream = None
                self.played.end()
                raise SpeechError(
                    f"The loudspeaker '{found['name']}' cannot be used ({error}); plug it in "
                    "again, or choose another as the system's default."
                ) from error
        return float(self._stream.latency)

    def _give(self, out: Samples, frames: int, time: object, status: object) -> None:
        """Called by PortAudio in its own thread for each block."""
        block = self._feed.give(frames)
        out[:, 0] = block
        self.played.put(block)
