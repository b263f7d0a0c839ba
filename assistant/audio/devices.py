"""The sound card through PortAudio, with its troubles put into one sentence each."""

from __future__ import annotations

from types import ModuleType
from typing import Any

from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE, Samples

NO_PORTAUDIO = (
    "The sound library PortAudio is missing; install it (on Debian and Ubuntu: "
    "apt-get install libportaudio2), or work with --audio FILE or --keyboard."
)


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


def play(samples: Samples, device: str | None = None) -> None:
    """Play mono int16 samples at 16 kHz and return when they have sounded.

    Raises:
        SpeechError: there is no loudspeaker, or it cannot be used.
    """
    sound = portaudio()
    found = find_device(device, "output")
    try:
        sound.play(samples, SAMPLE_RATE, device=found["index"], blocking=True)
    except sound.PortAudioError as error:
        raise SpeechError(
            f"The loudspeaker '{found['name']}' cannot be used ({error}); choose another."
        ) from error
