"""The console command, whose listening can be made to stand still: given as a program to Live.

While the file STALL_FILE names is there, nothing is taken from the microphone until its sound
overflows the buffer, which holds one second here; then the file is taken away.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from threading import Event

from assistant.audio import reconnecting
from assistant.audio.microphone import Microphone
from assistant.cli.main import entry
from assistant.speech.types import Samples

_FILE = Path(os.environ["STALL_FILE"])


class Stalling(reconnecting.ReconnectingMicrophone):
    """A microphone whose reader may be kept from reading."""

    def blocks(self) -> Iterator[Samples]:
        for block in super().blocks():
            before, still = self.overruns, Event()
            while _FILE.exists() and self.overruns == before:
                still.wait(0.05)
            _FILE.unlink(missing_ok=True)
            yield block


if __name__ == "__main__":
    import assistant.cli.hearing

    reconnecting.Microphone = partial(Microphone, buffer_s=1.0)  # type: ignore[misc, assignment]
    assistant.cli.hearing.ReconnectingMicrophone = Stalling  # type: ignore[misc]
    entry()
