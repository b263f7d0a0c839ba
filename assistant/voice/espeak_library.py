"""The espeak-ng library that comes as a Python package, for machines without the command.

The functions and their constants are those of ``speak_lib.h`` of espeak-ng 1.52.
"""

from __future__ import annotations

import ctypes
from functools import cache
from pathlib import Path
from threading import Lock
from typing import Any

import numpy as np

from assistant.speech.errors import SpeechError
from assistant.voice.espeak_settings import EspeakSettings
from assistant.voice.spoken_cache import Spoken

_SYNCHRONOUS = 2  # AUDIO_OUTPUT_SYNCHRONOUS: the sound is handed over, and the call waits for it
_DONT_EXIT = 0x8000  # espeakINITIALIZE_DONT_EXIT: missing data is an error, not the end
_RATE, _VOLUME = 1, 2  # espeakRATE, espeakVOLUME
_CHARACTER = 1  # POS_CHARACTER
_UTF8, _SSML, _END_PAUSE = 0x01, 0x10, 0x1000
_OK = 0  # EE_OK

_Callback = ctypes.CFUNCTYPE(
    ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p
)


class EspeakLibrary:
    """The library in this process; it has one state, so one line is made at a time.

    Raises:
        SpeechError: the package is not there, or its library cannot be loaded.
    """

    def __init__(self) -> None:
        self._library = _loaded()
        self._one_at_a_time = Lock()
        self._parts: list[np.ndarray[Any, np.dtype[np.int16]]] = []
        self._callback = _Callback(self._take)  # kept: the library holds no reference
        _, data = _places()
        self._rate = self._library.espeak_Initialize(
            _SYNCHRONOUS, 0, str(data.parent).encode(), _DONT_EXIT
        )
        if self._rate <= 0:
            raise SpeechError(
                "The speech synthesiser's data cannot be read; install the package "
                "espeakng-loader again."
            )
        self._library.espeak_SetSynthCallback(self._callback)
        self._library.espeak_Info.restype = ctypes.c_char_p
        version = self._library.espeak_Info(None).decode("ascii", "replace")
        self.identity = f"espeak-ng library {version}"

    def sound(self, prepared: str, settings: EspeakSettings) -> Spoken:
        """A line marked up as SSML, as sound.

        Raises:
            SpeechError: the voice is not there, or no sound came.
        """
        text = prepared.encode("utf-8", "replace") + b"\0"
        with self._one_at_a_time:
            self._parts = []
            if self._library.espeak_SetVoiceByName(settings.voice.encode()) != _OK:
                raise SpeechError(
                    f"The speech synthesiser has no voice '{settings.voice}'; install the package "
                    "espeakng-loader again."
                )
            self._library.espeak_SetParameter(_RATE, settings.words_per_minute, 0)
            self._library.espeak_SetParameter(_VOLUME, settings.amplitude, 0)
            ended = self._library.espeak_Synth(
                text, len(text), 0, _CHARACTER, 0, _UTF8 | _SSML | _END_PAUSE, None, None
            )
            parts = self._parts
        if ended != _OK or not parts:
            raise SpeechError(
                "The speech synthesiser gave no sound; install the package espeakng-loader again."
            )
        return Spoken(np.concatenate(parts), self._rate)

    def _take(self, sound: Any, count: int, _events: Any) -> int:
        if sound and count > 0:
            self._parts.append(np.ctypeslib.as_array(sound, (count,)).astype(np.int16))
        return 0  # go on


@cache
def espeak_library() -> EspeakLibrary:
    """The one library of this process.

    Raises:
        SpeechError: the package is not there, or its library cannot be loaded.
    """
    return EspeakLibrary()


def _places() -> tuple[Path, Path]:
    try:
        import espeakng_loader
    except ImportError as error:
        raise SpeechError(
            "The speech synthesiser espeak-ng is missing; install it (on Debian and Ubuntu: "
            "apt-get install espeak-ng) or the Python package espeakng-loader."
        ) from error
    return Path(espeakng_loader.get_library_path()), Path(espeakng_loader.get_data_path())


def _loaded() -> ctypes.CDLL:
    library, _ = _places()
    try:
        return ctypes.CDLL(str(library))
    except OSError as error:
        raise SpeechError(
            f"The speech synthesiser's library cannot be loaded ({error}); install the package "
            "espeakng-loader again."
        ) from error
