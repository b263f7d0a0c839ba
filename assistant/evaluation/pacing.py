"""How long an answer takes after the endpoint, when the sound comes in at its own pace.

A virtual clock: at a pause the engine works for as long as the machine really took (wall time),
and frames that arrive meanwhile wait. What is left to do when the last frame has arrived is the
decision's latency. So nothing needs to be played in real time, and an engine that begins in a
pause is charged for falling behind, not for what it did in time.
"""

from __future__ import annotations

from time import perf_counter, process_time

from assistant.language.hypothesis import Recognition
from assistant.speech.endpoint import EndpointVerdict
from assistant.speech.speculative import SpeculativeFollower
from assistant.speech.types import SAMPLE_RATE, Engine, Utterance


class TimedFollower:
    """An endpointer's follower on behalf of ``engine``, as in a session, that keeps the time.

    ``processor_s``: processor time of the engine on the utterance heard last, in seconds.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._follower = SpeculativeFollower(engine)
        self._ready = 0.0  # when, on the virtual clock, the engine is done with what it was shown
        self.processor_s = 0.0

    def grammar(self, jsgf: str) -> None:
        """The grammar that the engine listens for."""
        self._follower.grammar(jsgf)

    def begin(self) -> None:
        """An utterance has begun."""
        self._ready = self.processor_s = 0.0
        self._follower.begin()

    def paused(self, utterance: Utterance) -> None:
        """The speaker paused: the engine works on what there is."""
        arrived = len(utterance.samples) / SAMPLE_RATE
        began, started = process_time(), perf_counter()
        self._follower.paused(utterance)
        self._ready = max(self._ready, arrived) + perf_counter() - started
        self.processor_s += process_time() - began

    def looked(self, utterance: Utterance) -> EndpointVerdict:
        """As :meth:`paused`; whether anything is said in it."""
        arrived = len(utterance.samples) / SAMPLE_RATE
        began, started = process_time(), perf_counter()
        verdict = self._follower.looked(utterance)
        self._ready = max(self._ready, arrived) + perf_counter() - started
        self.processor_s += process_time() - began
        return verdict

    def quiet_needed(self) -> float | None:
        """As in a session."""
        return self._follower.quiet_needed()

    def recognise(self, utterance: Utterance) -> tuple[Recognition, float]:
        """What the engine heard, and the seconds from the endpoint to its answer."""
        endpoint = len(utterance.samples) / SAMPLE_RATE
        began, started = process_time(), perf_counter()
        recognition = self._engine.recognise(utterance)
        late = max(self._ready, endpoint) + perf_counter() - started - endpoint
        self.processor_s += process_time() - began
        return recognition, late
