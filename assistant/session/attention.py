"""The attention phrase: without it, nothing is heard except "stop work"."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from time import monotonic
from typing import Literal

from assistant.dialogue.expectation import Expectation
from assistant.language.hypothesis import Recognition
from assistant.language.interprets import Interprets
from assistant.language.policy import Policy
from assistant.language.spec import Command, ListenSpec
from assistant.language.trust import Act, Again, Ask, understand
from assistant.session.edges import Sound, SpeechInput

CALL = "attention"
"""The command, in the language's data, that calls the assistant."""
STOP = "stop_work"


@dataclass(frozen=True)
class AttentionPolicy:
    """``window_s``: how long it listens after being called, and again after each thing it took.

    ``trust``: by it the dialogue acts. Uncalled, the call and "stop work" need what it asks for
    where nobody asked the builder to speak; called, only what it acts on or asks about keeps the
    window open.
    """

    window_s: float = 8.0
    trust: Policy = field(default_factory=Policy)

    def uncalled(self, expected: Expectation) -> Expectation:
        """What is listened for while uncalled, where ``expected`` would be otherwise."""
        stops = (STOP,) if STOP in expected.spec.commands else ()
        return Expectation(ListenSpec(commands=(CALL, *stops)))

    def called(self, expected: Expectation) -> Expectation:
        """What is listened for while called: a repeated call is not a command."""
        if expected.free:
            return expected
        return replace(
            expected, spec=replace(expected.spec, commands=(*expected.spec.commands, CALL))
        )

    def answer(
        self, language: Interprets, heard: Recognition
    ) -> Literal["call", "half a call", "stop", "other"]:
        """What an utterance is: a call, one half heard, a sure "stop work", or something else."""
        spec = ListenSpec(commands=(CALL, STOP))
        understood = understand(self.trust.where_unasked(), language, spec, heard)
        match understood:
            case Act(meaning=Command(id="attention")):
                return "call"
            case Again(meaning=Command(id="attention")):
                return "half a call"
            case Act(meaning=Command(id="stop_work")):
                return "stop"
            case _:
                return "other"

    def keeps_open(self, language: Interprets, expected: Expectation, heard: Recognition) -> bool:
        """Whether an utterance taken while called opens the window again."""
        if expected.free:
            return True
        understood = understand(self.trust, language, expected.spec, heard)
        return isinstance(understood, Act | Ask)


class AttentiveInput:
    """Speech input that passes utterances on only after the attention phrase.

    ``called`` runs when the phrase was heard: a chime, say. "Stop work" always passes
    where it would make sense without the phrase.
    """

    def __init__(
        self,
        source: SpeechInput,
        language: Interprets,
        called: Callable[[], None],
        policy: AttentionPolicy | None = None,
        elapsed: Callable[[], float] = monotonic,
    ) -> None:
        self._source = source
        self._language = language
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
        sound = self._source.hear(self._policy.called(expected), end - now)
        if sound is None:
            return None
        answer = self._policy.answer(self._language, sound.recognition)
        if answer == "call":
            self._open()
        if answer in ("call", "half a call"):
            return None
        self._took = self._policy.keeps_open(self._language, expected, sound.recognition)
        return sound

    def _while_uncalled(
        self, expected: Expectation, now: float, until: float | None
    ) -> Sound | None:
        wanted = self._policy.uncalled(expected)
        sound = self._source.hear(wanted, None if until is None else until - now)
        if sound is None:
            return None
        answer = self._policy.answer(self._language, sound.recognition)
        if answer == "call":
            self._open()
        self._took = answer == "stop"
        return sound if self._took else None

    def _open(self) -> None:
        self._called()
        self._open_until = self._elapsed() + self._policy.window_s
