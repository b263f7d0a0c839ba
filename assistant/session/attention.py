"""The attention phrase: what is not called for is not heard, except "stop work"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from time import monotonic
from typing import Literal, Protocol

from assistant.dialogue.expectation import Expectation
from assistant.language.hypothesis import Recognition
from assistant.language.spec import Command, ListenSpec, Meaning
from assistant.session.edges import Ear, Sound

CALL = "attention"
"""The command, in the language's data, that calls the assistant."""
STOP = "stop_work"


class Tongue(Protocol):
    """What makes sense of heard text."""

    def interpret(self, spec: ListenSpec, text: str) -> tuple[Meaning, ...]:
        """Distinct meanings of ``text`` under ``spec``."""


@dataclass(frozen=True)
class AttentionPolicy:
    """``window_s``: how long it listens after being called, and anew after each thing it took.

    ``sure``: confidence below which neither the call nor "stop work" counts while uncalled.
    ``taken``: confidence below which an utterance does not keep the window open.
    """

    window_s: float = 8.0
    sure: float = 0.7
    taken: float = 0.5

    def uncalled(self, expected: Expectation) -> Expectation:
        """What is listened for while uncalled, where ``expected`` would be otherwise."""
        stops = (STOP,) if STOP in expected.spec.commands else ()
        return Expectation(ListenSpec(commands=(CALL, *stops)))

    def called(self, expected: Expectation) -> Expectation:
        """What is listened for while called: a call that is said once more is no command."""
        if expected.free:
            return expected
        return replace(
            expected, spec=replace(expected.spec, commands=(*expected.spec.commands, CALL))
        )

    def answer(
        self, tongue: Tongue, heard: Recognition
    ) -> Literal["call", "half a call", "stop", "other"]:
        """What an utterance is: a call, one half heard, a sure "stop work", or something else."""
        if not heard.hypotheses:
            return "other"
        spec = ListenSpec(commands=(CALL, STOP))
        meanings = tongue.interpret(spec, heard.hypotheses[0].text)
        sure = heard.hypotheses[0].confidence >= self.sure
        if meanings == (Command(CALL),):
            return "call" if sure else "half a call"
        return "stop" if sure and meanings == (Command(STOP),) else "other"

    def keeps_open(self, expected: Expectation, heard: Recognition) -> bool:
        """Whether an utterance taken while called opens the window anew."""
        if expected.free:
            return True
        return bool(heard.hypotheses) and heard.hypotheses[0].confidence >= self.taken


class AttentiveEar:
    """An ear that passes utterances on only after the attention phrase.

    ``called`` is carried out when the phrase was heard: a chime, say. "Stop work" passes always
    where it would make sense without the phrase.
    """

    def __init__(
        self,
        ear: Ear,
        tongue: Tongue,
        called: Callable[[], None],
        policy: AttentionPolicy | None = None,
        elapsed: Callable[[], float] = monotonic,
    ) -> None:
        self._ear = ear
        self._tongue = tongue
        self._called = called
        self._policy = policy or AttentionPolicy()
        self._elapsed = elapsed
        self._open_until = float("-inf")
        self._took = False

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        """The next utterance meant for the assistant; None when ``patience_s`` is over.

        Raises:
            EndOfInput: nothing more will come.
        """
        now = self._elapsed()
        until = None if patience_s is None else now + patience_s
        if self._took:  # the window runs from the answer's end, however long that took
            self._open_until = now + self._policy.window_s
            self._took = False
        while until is None or now < until:
            if now < self._open_until:
                sound = self._while_called(expected, now, until)
            else:
                sound = self._while_uncalled(expected, now, until)
            if sound is not None:
                return sound
            now = self._elapsed()
        return None

    def _while_called(self, expected: Expectation, now: float, until: float | None) -> Sound | None:
        end = self._open_until if until is None else min(until, self._open_until)
        sound = self._ear.hear(self._policy.called(expected), end - now)
        if sound is None:
            return None
        answer = self._policy.answer(self._tongue, sound.recognition)
        if answer == "call":
            self._open()
        if answer in ("call", "half a call"):
            return None
        self._took = self._policy.keeps_open(expected, sound.recognition)
        return sound

    def _while_uncalled(
        self, expected: Expectation, now: float, until: float | None
    ) -> Sound | None:
        wanted = self._policy.uncalled(expected)
        sound = self._ear.hear(wanted, None if until is None else until - now)
        if sound is None:
            return None
        answer = self._policy.answer(self._tongue, sound.recognition)
        if answer == "call":
            self._open()
        self._took = answer == "stop"
        return sound if self._took else None

    def _open(self) -> None:
        self._called()
        self._open_until = self._elapsed() + self._policy.window_s
