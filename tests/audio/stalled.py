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
from assistant.speech.types import Samples
from tests.audio import counted


class Stalling(counted.Counting):
    """A microphone whose reader may be kept from reading."""

    def blocks(self) -> Iterator[Samples]:
        file = Path(os.environ["STALL_FILE"])
        for block in super().blocks():
            before, still = self.overruns, Event()
            while file.exists() and self.overruns == before:
                still.wait(0.05)
            file.unlink(missing_ok=True)
            yield block


def entry() -> None:
    """Run the command."""
    stalling = partial(Microphone, buffer_s=1.0)
    setattr(reconnecting, "Microphone", stalling)  # noqa: B010  # not for others to use
    counted.entry(Stalling)
