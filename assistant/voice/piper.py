"""A neural voice through the piper-tts library, from a voice file on this machine."""

from __future__ import annotations

import hashlib
from importlib.util import find_spec
from pathlib import Path
from threading import Lock
from typing import Any

import numpy as np

from assistant.language.tone import Tone
from assistant.speech.errors import SpeechError
from assistant.voice.digit_words import digit_words
from assistant.voice.pronounce import Respelling
from assistant.voice.spoken_cache import Spoken
from assistant.voice.ssml import digit_runs

_OWN_RATE = 174
"""Words a minute of the voice at its own tempo (measured with en_US-joe-medium)."""
_PEAK = 0.8  # of full scale; the library brings each line to one peak
_NO_LIBRARY = (
    "The neural voice needs the library piper-tts; install it with the extra 'neural', or use "
    "another --voice."
)


class PiperSynthesiser:
    """Lines as the voice in ``folder`` (one ``.onnx`` file and its ``.onnx.json``) speaks them.

    Raises:
        SpeechError: the library or the voice file is missing or cannot be read.
    """

    name = "piper"

    def __init__(self, folder: Path, language: str) -> None:
        if find_spec("piper") is None:
            raise SpeechError(_NO_LIBRARY)
        from importlib.metadata import version

        from piper import PiperVoice

        files = sorted(folder.glob("*.onnx"))
        if len(files) != 1:
            raise SpeechError(
                f"{folder} must hold one voice file (.onnx) with its .onnx.json; fetch it with "
                "'assembly-assistant models fetch'."
            )
        model = files[0]
        try:
            self._voice: Any = PiperVoice.load(model)
            facts = hashlib.sha256(model.with_suffix(".onnx.json").read_bytes()).hexdigest()
        except Exception as error:  # the library lets its readers' many errors through
            raise SpeechError(
                f"The voice file {model} cannot be read ({error}); fetch it again."
            ) from error
        size = model.stat().st_size
        self.identity = f"piper-tts {version('piper-tts')} {model.stem} {size} {facts}"
        self._respell = Respelling.of_language(language)
        self._digits = digit_runs(digit_words(language))
        self._one_at_a_time = Lock()  # its phonemes come from a C library with one state

    def prepared(self, text: str, tone: Tone) -> str:
        """``text`` as the voice is given it; it knows no markup, so commas slow the digits."""
        return self._digits.sub(lambda run: run[0].replace(" ", ", "), self._respell(text))

    def synthesise(self, prepared: str, words_per_minute: int) -> Spoken:
        """A prepared line as sound.

        Raises:
            SpeechError: the voice gave no sound.
        """
        from piper import SynthesisConfig

        settings = SynthesisConfig(length_scale=_OWN_RATE / words_per_minute, volume=_PEAK)
        with self._one_at_a_time:
            try:
                parts = list(self._voice.synthesize(prepared, settings))
            except Exception as error:  # the network's library has no error of its own to name
                raise SpeechError(f"The neural voice could not speak ({error}).") from error
        if not parts:
            raise SpeechError(f"The neural voice gave no sound for '{prepared}'.")
        samples = np.concatenate([part.audio_int16_array for part in parts])
        return Spoken(samples, parts[0].sample_rate)
