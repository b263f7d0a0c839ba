"""A voice that is synthesised first, kept, and then played: the first sound comes at once."""

from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor
from threading import Event
from typing import Protocol

import numpy as np

from assistant.language.tone import Tone
from assistant.speech.types import Samples
from assistant.voice.spoken_cache import Spoken, SpokenCache, key_of
from assistant.voice.ssml import sentences

_PAUSE_S = 0.3  # between two sentences
_CAUTION_PAUSE_S = 0.7
_EDGE_S = 0.02  # kept of the silence that synthesisers put around a line
_SILENT = 64  # of 32768


class Synthesiser(Protocol):
    """Turns a line into sound."""

    @property
    def name(self) -> str:
        """What it is called."""

    @property
    def identity(self) -> str:
        """Program, version and voice, so far as they sound."""

    def prepared(self, text: str, tone: Tone) -> str:
        """``text`` as the synthesiser is given it: respelled, marked up."""

    def synthesise(self, prepared: str, words_per_minute: int) -> Spoken:
        """A prepared line as sound.

        Raises:
            SpeechError: it failed.
        """


class Player(Protocol):
    """Plays sound; :class:`assistant.audio.loudspeaker.Loudspeaker` is one."""

    def play(self, samples: Samples, rate: int) -> bool:
        """Play and return when it has sounded; False when it was cut short."""

    def play_when(self, made: Future[Spoken]) -> bool:
        """As ``play``, with sound that is still being made: get ready for it meanwhile."""

    def stop(self) -> None:
        """Cut short what is playing."""


class PlayedVoice:
    """Speaks sentence by sentence: the next is made while one sounds.

    Every sentence made is kept in ``cache``; ``foresee`` makes those that will be wanted soon.
    """

    def __init__(
        self,
        synthesiser: Synthesiser,
        player: Player,
        cache: SpokenCache,
        words_per_minute: int,
        volume: float,
    ) -> None:
        self.name = synthesiser.name
        self._synthesiser = synthesiser
        self._player = player
        self._cache = cache
        self._rate = words_per_minute
        self._volume = volume
        self._cut = Event()
        self._ahead = ThreadPoolExecutor(1, "next sentence")

    def speak(self, text: str, tone: Tone = "plain") -> None:
        """Say ``text`` and return when it has been said, or was cut short.

        Raises:
            SpeechError: it cannot be made or played; what came before it has been said.
        """
        self._cut.clear()
        parts = sentences(text)
        pause = _CAUTION_PAUSE_S if tone == "caution" else _PAUSE_S
        pauses = [pause] * (len(parts) - 1) + [0.0]
        made = [
            self._ahead.submit(self._piece, part, tone, quiet)
            for part, quiet in zip(parts, pauses, strict=True)
        ]
        try:
            for piece in made:
                if self._cut.is_set() or not self._player.play_when(piece):
                    return
        finally:
            for piece in made:
                piece.cancel()  # what was not begun, after a cut

    def play(self, samples: Samples, rate: int) -> None:
        """Play a recording after the line spoken last, unless that was cut short.

        Raises:
            SpeechError: it cannot be played.
        """
        if not self._cut.is_set():
            self._player.play(samples, rate)

    def stop(self) -> None:
        """Cut short what is being said; may be called from any thread."""
        self._cut.set()
        self._player.stop()

    def foresee(self, text: str, tone: Tone = "plain") -> None:
        """Make and keep ``text``, which is likely to be spoken soon.

        Raises:
            SpeechError: it cannot be made.
        """
        for part in sentences(text):
            self._line(part, tone)

    def set_rate(self, words_per_minute: int) -> None:
        """Change the speaking rate."""
        self._rate = words_per_minute

    def set_volume(self, fraction: float) -> None:
        """Change the loudness, 0 to 1."""
        self._volume = min(1.0, max(0.0, fraction))

    def _piece(self, text: str, tone: Tone, quiet_s: float) -> Spoken:
        """A sentence as it is to sound, with the pause after it."""
        spoken = self._line(text, tone)
        samples = np.round(spoken.samples * self._volume).astype(np.int16)
        quiet = np.zeros(int(quiet_s * spoken.rate), np.int16)
        return Spoken(np.concatenate((samples, quiet)), spoken.rate)

    def _line(self, text: str, tone: Tone) -> Spoken:
        prepared = self._synthesiser.prepared(text, tone)
        key = key_of(self._synthesiser.identity, self._rate, prepared)
        kept = self._cache.get(key)
        if kept is not None:
            return kept
        made = self._synthesiser.synthesise(prepared, self._rate)
        line = Spoken(trimmed(made.samples, made.rate), made.rate)
        self._cache.put(key, line)
        return line


def trimmed(samples: Samples, rate: int) -> Samples:
    """Without the silence around the line: it delays the first sound, and the answer after it."""
    loud = np.flatnonzero(np.abs(samples.astype(np.int32)) > _SILENT)
    if not len(loud):
        return samples
    edge = int(_EDGE_S * rate)
    return samples[max(0, loud[0] - edge) : loud[-1] + 1 + edge]
