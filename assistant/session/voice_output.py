"""The session's speech output: voice, chimes and the gate that keeps it from hearing itself."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

import numpy as np

from assistant.audio.chime import play_chime, usual_loudspeaker
from assistant.audio.duplex import DuplexLoudspeaker
from assistant.audio.gate import HalfDuplexGate
from assistant.dialogue.effects import ChimeName, Say
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples
from assistant.voice.played_voice import PlayedVoice
from assistant.voice.types import Voice
from assistant.voice.voices import DEFAULT_RATE, FileVoice, SilentVoice

_RATE_STEP = 20  # words per minute
DEFAULT_VOLUME = 0.5
"""Half of full scale, so that two steps louder are left."""
_VOLUME_STEP_DB = 3.0
_PEAK = 32767
_QUIETEST_PEAK = 1000
"""Of a recording, in 32768: a quieter one is raised by no more than this one is (30 dB)."""

Sounds = Callable[[str], Samples | None]


@dataclass(frozen=True)
class VoiceNews:
    """The voice failed, and ``why`` says so in a sentence; or it works again."""

    working: bool
    why: str = ""


class VoiceOutput:
    """Speaks effects through a voice, deaf to itself meanwhile.

    ``warn`` shows the builder a sentence when the voice fails. ``rate``: words per minute;
    ``volume``: 0 to 1.
    """

    def __init__(
        self,
        voice: Voice,
        warn: Callable[[str], None],
        rate: int = DEFAULT_RATE,
        volume: float = DEFAULT_VOLUME,
        duplex: DuplexLoudspeaker | None = None,
    ) -> None:
        self.gate = HalfDuplexGate()
        self.duplex = duplex
        self.voice = voice
        self._sounds: Sounds | None = None
        self._warn = warn
        self._rate = rate
        self._volume = volume
        self._steps = {"rate": 0, "volume": 0}
        self._aloud = not isinstance(voice, SilentVoice | FileVoice)
        self._failing = False
        self._news: deque[VoiceNews] = deque()
        voice.set_volume(volume)  # what the steps count from

    def play_from(self, sounds: Sounds) -> None:
        """Take recordings from ``sounds``, which gives None for one that is missing or altered."""
        self._sounds = sounds

    def say(self, said: Say) -> None:
        """Speak; returns when it has been said. A failing voice is reported once, by a chime too.

        The work does not stop for it: every line is on the screen, and nothing counts before the
        builder answers.
        """
        with self.gate.closed():
            try:
                self.voice.speak(said.text, said.tone)
                self._play(said.sound)
            except SpeechError as fault:
                if not self._failing:
                    self._failing = True
                    self._warn(str(fault))
                    self._news.append(VoiceNews(False, str(fault)))
                    self.chime("again")  # where only the synthesiser failed
            else:
                if self._failing:
                    self._failing = False
                    self._news.append(VoiceNews(True))

    def can_play(self, clip: str) -> bool:
        """Whether the recording ``clip`` is there unaltered, and the voice is a real one."""
        return self._aloud and self._recording(clip) is not None

    def news(self) -> VoiceNews | None:
        """The oldest news of the voice that was not reported yet."""
        return self._news.popleft() if self._news else None

    def chime(self, which: ChimeName) -> None:
        """Play a short sound, where the voice is a real one."""
        if self._aloud:
            with self.gate.closed():
                play_chime(which, self._loudness(), self.duplex)

    def stop(self) -> None:
        """Cut short what is being said; of a voice that can be cut."""
        if isinstance(self.voice, PlayedVoice):
            self.voice.stop()

    def adjust(self, what: Literal["rate", "volume"], steps: int) -> None:
        """Move rate or volume by ``steps``; the dialogue keeps them within what can be followed."""
        self._steps[what] += steps
        if what == "rate":
            self.voice.set_rate(max(1, self._rate + self._steps["rate"] * _RATE_STEP))
        else:
            self.voice.set_volume(self._loudness())

    def _recording(self, clip: str) -> Samples | None:
        return self._sounds(clip) if self._sounds is not None and clip else None

    def _play(self, clip: str) -> None:
        """Play a recording about as loud as the voice; nothing where there is none."""
        samples = self._recording(clip) if self._aloud else None
        if samples is None or not len(samples):
            return
        peak = max(int(np.abs(samples.astype(np.int32)).max()), _QUIETEST_PEAK)
        as_loud = np.round(samples * (_PEAK * self._loudness() / peak)).astype(np.int16)
        if isinstance(self.voice, PlayedVoice):
            self.voice.play(as_loud, SAMPLE_RATE)
        else:
            (self.duplex or usual_loudspeaker()).play(as_loud, SAMPLE_RATE)

    def _loudness(self) -> float:
        steps = self._steps["volume"]
        return float(min(1.0, self._volume * 10 ** (steps * _VOLUME_STEP_DB / 20)))
