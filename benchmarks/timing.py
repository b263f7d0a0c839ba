"""How long something took: on the clock, and of the processor."""

from __future__ import annotations

from time import perf_counter, process_time


class Timed:
    """Begins when it is made; as text, the seconds since: on the clock / of the processor.

    A busy machine stretches the first and leaves the second alone.
    """

    def __init__(self) -> None:
        self._clock, self._processor = perf_counter(), process_time()

    def __str__(self) -> str:
        clock, processor = perf_counter() - self._clock, process_time() - self._processor
        return f"{clock:.2f} / {processor:.2f} s"
