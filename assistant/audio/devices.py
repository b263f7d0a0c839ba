"""The sound card through PortAudio, with its troubles put into one sentence each."""

from __future__ import annotations

import re
from collections.abc import Callable
from threading import RLock
from types import ModuleType
from typing import Any

from assistant.speech.errors import SpeechError

NO_PORTAUDIO = (
    "The sound library PortAudio is missing; install it (on Debian and Ubuntu: "
    "apt-get install libportaudio2), or work with --audio FILE or --keyboard."
)

PLAYING = RLock()
"""Held while sound is played: PortAudio must not look for devices again meanwhile."""

_ALSA_PLACE = re.compile(r"\s*\(hw:\d+,\d+\)$")  # changes when a device is plugged in again


def portaudio() -> ModuleType:
    """The sounddevice module.

    Raises:
        SpeechError: PortAudio is not installed (the import fails then, hence here and not above).
    """
    try:
        import sounddevice
    except OSError as error:
        raise SpeechError(NO_PORTAUDIO) from error
    module: ModuleType = sounddevice
    return module


def find_device(wanted: str | None, kind: str) -> dict[str, Any]:
    """The device whose name holds ``wanted``, or the default one; ``kind`` is input or output.

    Raises:
        SpeechError: there is none.
    """
    sound = portaudio()
    channels = f"max_{kind}_channels"
    usable = [d for d in sound.query_devices() if d[channels] > 0]
    purpose = "microphone" if kind == "input" else "loudspeaker"
    if not usable:
        raise SpeechError(f"No {purpose} was found; plug one in, and see that the system shows it.")
    if wanted is None:
        try:
            return dict(sound.query_devices(kind=kind))
        except (sound.PortAudioError, ValueError):
            return dict(usable[0])
    for device in usable:
        if wanted.lower() in device["name"].lower():
            return dict(device)
    names = ", ".join(d["name"] for d in usable)
    raise SpeechError(f"There is no {purpose} called '{wanted}'; found: {names}.")


def same_device(name: str, other: str) -> bool:
    """Whether two device names are of one device, wherever it was plugged in."""
    return plain_name(name) == plain_name(other)


def plain_name(name: str) -> str:
    """A device's name without the place where it is plugged in."""
    return _ALSA_PLACE.sub("", name).rstrip(" :-")


_IDLE: list[Callable[[], None]] = []


def close_before_looking(close: Callable[[], None]) -> None:
    """Have ``close`` called before devices are looked for: it closes a stream that is idle."""
    _IDLE.append(close)


def look_again() -> bool:
    """Have PortAudio find out what is plugged in now; it looks once, at its start, by itself.

    No microphone may be open. False when sound is being played in another thread: try again later.
    """
    sound = portaudio()
    if not PLAYING.acquire(blocking=False):
        return False
    try:
        for close in _IDLE:
            close()
        sound._terminate()
        sound._initialize()
    finally:
        PLAYING.release()
    return True


def find_same(name: str) -> dict[str, Any] | None:
    """The microphone that was called ``name``, where it is plugged in now."""
    for device in portaudio().query_devices():
        if device["max_input_channels"] > 0 and same_device(device["name"], name):
            return dict(device)
    return None
