"""Keys of a terminal as they are pressed, on systems with termios and on Windows."""

from __future__ import annotations

import sys
from typing import Protocol

_AT_A_TIME = 256


class RawKeys(Protocol):
    """A terminal that shows nothing of what is typed, until it is closed."""

    def pressed(self, wait_s: float) -> bool:
        """Whether a key was pressed within ``wait_s`` seconds; it is used up."""
        ...

    def close(self) -> None:
        """Let the terminal show again what is typed."""
        ...


if sys.platform == "win32":
    import msvcrt
    from time import monotonic, sleep

    class WindowsKeys:
        """The console's keys; Windows has no call that waits for one for a certain time."""

        def pressed(self, wait_s: float) -> bool:
            """Whether a key was pressed within ``wait_s`` seconds; it is used up."""
            until = monotonic() + wait_s
            while not msvcrt.kbhit():
                if monotonic() >= until:
                    return False
                sleep(0.01)
            while msvcrt.kbhit():
                msvcrt.getwch()
            return True

        def close(self) -> None:
            """Nothing was changed."""

    def raw_keys(descriptor: int) -> RawKeys:
        """The keys of the terminal ``descriptor``; on Windows those of the console."""
        return WindowsKeys()

else:
    import os
    import select
    import termios
    import tty

    class TerminalKeys:
        """Keys of the terminal ``descriptor``."""

        def __init__(self, descriptor: int) -> None:
            self._descriptor = descriptor
            self._before = termios.tcgetattr(descriptor)
            tty.setcbreak(descriptor)  # Ctrl-C still ends the program

        def pressed(self, wait_s: float) -> bool:
            """Whether a key was pressed within ``wait_s`` seconds; it is used up."""
            ready, _, _ = select.select([self._descriptor], [], [], wait_s)
            return bool(ready) and bool(os.read(self._descriptor, _AT_A_TIME))

        def close(self) -> None:
            """Let the terminal show again what is typed."""
            termios.tcsetattr(self._descriptor, termios.TCSADRAIN, self._before)

    def raw_keys(descriptor: int) -> RawKeys:
        """The keys of the terminal ``descriptor``; on Windows those of the console."""
        return TerminalKeys(descriptor)
