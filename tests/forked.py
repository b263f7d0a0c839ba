"""The console command in a process of its own that need not import everything again.

A server has imported the command once and forks for each run, so that a test may start fifty of
them, each to be killed, and wait for none. A run has its own memory, files and exit like any other.
"""

from __future__ import annotations

import multiprocessing
import os
import sys
from collections.abc import Mapping
from contextlib import suppress
from importlib import import_module
from multiprocessing.connection import Connection

_CONTEXT = multiprocessing.get_context("forkserver" if os.name == "posix" else None)


class Forked:
    """``assembly-assistant`` with ``arguments``, on a keyboard and a screen that are pipes.

    ``env``: its environment where it is not this process's own. ``program``: the module whose
    ``entry`` is run. What it writes as errors comes on the screen too where it has an ``env``.
    """

    def __init__(
        self,
        *arguments: str,
        env: Mapping[str, str] | None = None,
        program: str = "assistant.cli.main",
    ) -> None:
        _CONTEXT.set_forkserver_preload(["tests.warm"])
        keyboard, typed = _CONTEXT.Pipe(duplex=False)
        shown, screen = _CONTEXT.Pipe(duplex=False)
        place = None if env is None else dict(env)
        self._process = _CONTEXT.Process(
            target=_run, args=(keyboard, screen, place, program, arguments)
        )
        self._process.start()
        keyboard.close()  # the run has its own, so its end is seen
        screen.close()
        self.stdin = os.fdopen(os.dup(typed.fileno()), "w", encoding="utf-8")
        self.stdout = os.fdopen(os.dup(shown.fileno()), encoding="utf-8")
        typed.close()
        shown.close()

    def kill(self) -> None:
        """Kill it, as a power cut would, and wait until it is gone."""
        self._process.kill()
        self.wait()

    def ends(self, patience_s: float) -> int | None:
        """Its exit status; None where it has not ended by then."""
        self._process.join(patience_s)
        return self._process.exitcode

    def wait(self) -> int | None:
        """Wait until it has ended; its exit status."""
        self._process.join()
        with suppress(BrokenPipeError):
            self.stdin.close()
        self.stdout.close()
        return self._process.exitcode


def _run(
    keyboard: Connection,
    screen: Connection,
    env: dict[str, str] | None,
    program: str,
    arguments: tuple[str, ...],
) -> None:
    os.dup2(keyboard.fileno(), 0)
    os.dup2(screen.fileno(), 1)
    if env is not None:
        os.dup2(screen.fileno(), 2)
        os.environ.clear()
        os.environ.update(env)
    keyboard.close()
    screen.close()
    sys.stdin = os.fdopen(0, encoding="utf-8")
    sys.stdout = os.fdopen(1, "w", encoding="utf-8", buffering=1)
    sys.argv = ["assembly-assistant", *arguments]
    import_module(program).entry()
