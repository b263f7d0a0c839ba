"""The console command, which also tells how much sound it has listened to.

A busy machine hears late. What says that a line was not heard is not the clock but the sound: all
of it was listened to, and no answer came.
"""

from __future__ import annotations

from collections.abc import Iterator

from assistant.audio.reconnecting import ReconnectingMicrophone
from assistant.cli import hearing
from assistant.cli.main import entry as command
from assistant.speech.types import Samples

MARK = "listened to"


class Counting(ReconnectingMicrophone):
    """Prints, once a block and all that follows from it is done, how many samples were taken.

    And how many there were by then with those that wait.
    """

    def blocks(self) -> Iterator[Samples]:
        taken = 0
        for block in super().blocks():
            yield block
            taken += len(block)
            waiting = sum(len(x) for x in list(self._microphone._buffer._blocks))
            print(f"{MARK} {taken} {taken + waiting}", flush=True)


def entry(microphone: type[ReconnectingMicrophone] = Counting) -> None:
    """Run the command with ``microphone``."""
    setattr(hearing, "ReconnectingMicrophone", microphone)  # noqa: B010  # not for others to use
    command()
