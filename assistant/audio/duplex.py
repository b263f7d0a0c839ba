"""Listening while speaking: a loudspeaker that knows what sounds, and a gate that takes it out.

The loudspeaker's stream stays open and plays silence between lines, so that the time from what is
played to what comes back in the microphone stays the same; the canceller (AEC3 of the WebRTC
project) finds that time and the room's answer by itself, and needs a second or two for it.
"""

from __future__ import annotations

from collections import deque
from concurrent.futures import Future
from threading import Condition, Lock
from typing import Any, Protocol

import numpy as np
import soxr

from assistant.audio.devices import PLAYING, close_before_looking, find_device, portaudio
from assistant.speech.errors import SpeechError
from assistant.speech.spoken_cache import Spoken
from assistant.speech.types import SAMPLE_RATE, Samples

_BLOCK = SAMPLE_RATE // 50
_FRAME = SAMPLE_RATE // 100  # the canceller takes tenths of a tenth of a second
_MOST_AHEAD = SAMPLE_RATE // 5
_DEAD_S = 3.0  # a live loudspeaker asks for sound every few hundredths of a second
_NO_LIBRARY = (
    "Listening while speaking needs the library pywebrtc-audio; install it with the extra "
    "'interruptible', or leave --interruptible out."
)


class Played:
    """What was given to the loudspeaker, for the canceller: taken in step with the capture."""

    def __init__(self) -> None:
        self._kept: deque[Samples] = deque()
        self._length = 0
        self._lock = Lock()

    def put(self, block: Samples) -> None:
        """``block`` is about to sound. What nobody takes is dropped after a fifth of a second."""
        with self._lock:
            self._kept.append(block)
            self._length += len(block)
            while self._length > _MOST_AHEAD:
                self._length -= len(self._kept.popleft())

    def take(self, length: int) -> Samples:
        """The oldest ``length`` samples; silence at the end where there are fewer."""
        out = np.zeros(length, np.int16)
        at = 0
        with self._lock:
            while at < length and self._kept:
                block = self._kept.popleft()
                part = block[: length - at]
                out[at : at + len(part)] = part
                at += len(part)
                if len(part) < len(block):
                    self._kept.appendleft(block[len(part) :])
            self._length -= at
        return out


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
        self._latency_s = 0.0
        self._left: Samples = np.zeros(0, np.int16)
        self._was_cut = False
        self._moved = Condition()
        close_before_looking(self.close)

    def play(self, samples: Samples, rate: int) -> bool:
        """Play and return when it has sounded; False when it was cut short.

        Raises:
            SpeechError: the loudspeaker is gone or cannot be used.
        """
        if rate != SAMPLE_RATE:
            samples = soxr.resample(samples, rate, SAMPLE_RATE)
        with PLAYING:
            self._open()
            rest = np.zeros(int(self._latency_s * SAMPLE_RATE), np.int16)
            with self._moved:
                self._was_cut = False
                self._left = np.concatenate((samples, rest))
                while len(self._left):
                    if not self._moved.wait(_DEAD_S):
                        self._left = self._left[:0]
                        self._drop()
                        raise SpeechError(
                            "The loudspeaker takes no sound any more; plug it in again, or "
                            "choose another as the system's default."
                        )
                return not self._was_cut

    def play_when(self, made: Future[Spoken]) -> bool:
        """As :meth:`play`, with sound that is still being made.

        Raises:
            SpeechError: the loudspeaker is gone or cannot be used, or making the sound failed.
        """
        with self._moved:
            self._was_cut = False
        spoken = made.result()
        return not self._was_cut and self.play(spoken.samples, spoken.rate)

    def stop(self) -> None:
        """Cut short what is playing; may be called from any thread."""
        with self._moved:
            self._was_cut = True
            self._left = self._left[:0]

    def close(self) -> None:
        """Close the stream; the next line opens it again."""
        with PLAYING:
            self._drop()

    def _drop(self) -> None:
        stream, self._stream = self._stream, None
        if stream is not None:
            stream.abort(ignore_errors=True)
            stream.close(ignore_errors=True)

    def _open(self) -> None:
        if self._stream is not None and self._stream.active:
            return
        self._drop()
        sound = portaudio()
        found = find_device(self._wanted, "output")
        try:
            self._stream = sound.OutputStream(
                SAMPLE_RATE, _BLOCK, found["index"], 1, "int16", 0.2, callback=self._give
            )
            self._stream.start()
            self._latency_s = float(self._stream.latency)
        except sound.PortAudioError as error:
            self._stream = None
            raise SpeechError(
                f"The loudspeaker '{found['name']}' cannot be used ({error}); plug it in again, "
                "or choose another as the system's default."
            ) from error

    def _give(self, out: Samples, frames: int, time: object, status: object) -> None:
        """Called by PortAudio in its own thread for each block."""
        with self._moved:
            part, self._left = self._left[:frames], self._left[frames:]
            self._moved.notify_all()
        out[: len(part), 0] = part
        out[len(part) :] = 0
        self.played.put(out[:, 0].copy())


class Canceller(Protocol):
    """Takes the echo of ``far`` out of ``near``; both int16 at 16 kHz, whole 10 ms frames."""

    def process(self, near: Samples, far: Samples) -> Samples:
        """``near`` without the echo."""


class EchoGate:
    """Lets all sound through, without what the assistant itself says."""

    def __init__(self, played: Played, canceller: Canceller | None = None) -> None:
        self._played = played
        self._canceller = canceller or webrtc_canceller()
        self._near: Samples = np.zeros(0, np.int16)

    def take(self, block: Samples) -> Samples | None:
        """``block`` without the echo; a part of a frame waits for the next block."""
        near = np.concatenate((self._near, block))
        whole = len(near) // _FRAME * _FRAME
        self._near = near[whole:]
        if not whole:
            return None
        return self._canceller.process(near[:whole], self._played.take(whole))


def webrtc_canceller() -> Canceller:
    """The echo canceller of the WebRTC project.

    Raises:
        SpeechError: its library is not installed.
    """
    try:
        from pywebrtc_audio import EchoCanceller
    except ImportError as error:
        raise SpeechError(_NO_LIBRARY) from error
    made: Canceller = EchoCanceller(sample_rate=SAMPLE_RATE)
    return made
