"""What is held down to talk: a foot pedal that the system knows as keys, or the terminal's keys."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from threading import Event, Lock, Thread
from time import monotonic
from typing import Any

from assistant.audio.hold import RepeatingKey
from assistant.audio.raw_keys import raw_keys
from assistant.speech.errors import SpeechError

_KEY_EVENT = 1  # EV_KEY, KEY_UP and so on: linux/input-event-codes.h and the evdev protocol
_UP, _DOWN = 0, 1
_NO_LIBRARY = (
    "A foot pedal needs the library evdev; install it with the extra 'pedal' (Linux only), or "
    "hold a key of this terminal instead: leave --pedal out."
)


class EvdevPedal:
    """A device of the kernel's input layer; held while any of its keys is down.

    ``device`` is an ``evdev.InputDevice``. It is taken for this program alone, so that a pedal
    which types a letter types it nowhere else.

    Raises:
        SpeechError: another program has taken it.
    """

    def __init__(self, device: Any) -> None:
        self._device = device
        self._down: set[int] = set()
        self._lost = False
        self._closed = False
        self._lock = Lock()
        try:
            device.grab()
        except OSError as error:
            raise SpeechError(
                f"The pedal '{device.name}' is in use by another program ({error}); close it."
            ) from error
        self._reader = Thread(target=self._read, name="pedal", daemon=True)
        self._reader.start()

    def held(self) -> bool:
        """Whether any key is down.

        Raises:
            SpeechError: the pedal was unplugged.
        """
        with self._lock:
            if self._lost:
                raise SpeechError(
                    f"The foot pedal '{self._device.name}' is gone; plug it in again and resume "
                    "the session, or resume it without --pedal."
                )
            return bool(self._down)

    def close(self) -> None:
        """Give the device back."""
        self._closed = True
        self._device.close()

    def _read(self) -> None:
        try:
            for event in self._device.read_loop():
                if event.type == _KEY_EVENT:
                    self._key(event.code, event.value)
        except (OSError, ValueError):  # unplugged, or closed under the reader
            pass
        with self._lock:
            self._lost = not self._closed
            self._down.clear()

    def _key(self, code: int, value: int) -> None:
        with self._lock:
            if value == _DOWN:
                self._down.add(code)
            elif value == _UP:
                self._down.discard(code)


class TerminalPedal:
    """Any key of the terminal ``descriptor``, held down. The terminal stops showing what is typed.

    Raises:
        SpeechError: it is not a terminal, as when input comes from a file.
    """

    def __init__(
        self,
        descriptor: int,
        key: RepeatingKey | None = None,
        clock: Callable[[], float] = monotonic,
    ) -> None:
        if not os.isatty(descriptor):
            raise SpeechError(
                "There is no terminal whose keys could be held; name a foot pedal with --pedal."
            )
        self._keys = raw_keys(descriptor)
        self._key = key or RepeatingKey()
        self._clock = clock
        self._done = Event()
        self._reader = Thread(target=self._read, name="terminal key", daemon=True)
        self._reader.start()

    def held(self) -> bool:
        """Whether a key is held down, as far as a terminal can tell."""
        return self._key.held(self._clock())

    def close(self) -> None:
        """Let the terminal show again what is typed."""
        self._done.set()
        self._reader.join()
        self._keys.close()

    def _read(self) -> None:
        while not self._done.is_set():
            if self._keys.pressed(wait_s=0.1):
                self._key.pressed(self._clock())


def find_pedal(name: str | None) -> EvdevPedal | TerminalPedal:
    """The pedal whose device name holds ``name``; the keys of this terminal when it is None.

    Raises:
        SpeechError: there is none, or it may not be read.
    """
    if name is None:
        return TerminalPedal(sys.stdin.fileno())
    return EvdevPedal(find_device(name))


def find_device(name: str) -> Any:
    """The input device with keys whose name holds ``name``.

    Raises:
        SpeechError: the library is missing, there is no such device, or none may be read.
    """
    try:
        import evdev
    except ImportError as error:
        raise SpeechError(_NO_LIBRARY) from error
    found = [evdev.InputDevice(path) for path in evdev.list_devices()]
    keyed = [device for device in found if _KEY_EVENT in device.capabilities()]
    for device in keyed:
        if name.lower() in device.name.lower():
            return device
    if not keyed:
        raise SpeechError(
            f"There is no pedal called '{name}': no input device can be read; plug it in, and "
            "have yourself added to the system's group 'input'."
        )
    names = ", ".join(sorted({device.name for device in keyed}))
    raise SpeechError(f"There is no pedal called '{name}'; found: {names}.")
