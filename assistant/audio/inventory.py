"""Which microphones and loudspeakers there are, and what to do about what is missing."""

from __future__ import annotations

from assistant.audio.devices import portaudio
from assistant.speech.errors import SpeechError
from assistant.speech.inventory import InventoryItem


def devices_found() -> list[InventoryItem]:
    """Microphones and loudspeakers by name; one absent item for a kind that has none."""
    try:
        devices = portaudio().query_devices()
    except SpeechError as fault:
        return [InventoryItem("PortAudio", False, remedy=str(fault))]
    items: list[InventoryItem] = []
    for kind, channels in (("microphone", "input"), ("loudspeaker", "output")):
        found = [
            InventoryItem(
                f"{kind} '{d['name']}'", True, f"{round(d['default_samplerate'])} samples/s"
            )
            for d in devices
            if d[f"max_{channels}_channels"] > 0
        ]
        remedy = f"No {kind} was found; plug one in, and see that the system shows it."
        items += found or [InventoryItem(kind, False, remedy=remedy)]
    return items
