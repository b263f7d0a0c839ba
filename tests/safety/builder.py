"""A builder who does the job by the stand-in's lines, and is interrupted in every seventh turn.

Anything may come between: a wrong command, a misheard value, a hand that cuts the speech short, a
clock that jumps, a store that refuses, the power.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Literal

import numpy as np

from assistant.dialogue.effects import ChimeName, FetchPicture, Say
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.facts import DispositionRecorded, ManualChecked
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.kinds.inspection import Inspecting
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.tightening.states import Tightening
from assistant.dialogue.state import State
from assistant.dialogue.states import (
    Blocked,
    GoingBack,
    OutOfLimit,
    Release,
    Review,
    Skipping,
    Stopping,
)
from assistant.language.hypothesis import Hypothesis, Recognition, Word, typed
from assistant.language.spec import ListenSpec
from assistant.procedure.step import ReadStep
from assistant.session.edges import NoPicture, Picture, Sound
from assistant.session.stand_in import next_line
from tests.dialogue.kit import PEOPLE
from tests.safety.jobs import Job, phrase
from tests.safety.trace import Said, Trace

INTERRUPTED = 0.15
BUILDER = next(p.initials for p in PEOPLE if p.role == "builder")
_CUT = 0.03  # of the lines that may be cut
_POWER = 0.004  # of all lines
_WORDS: tuple[str, ...] = (
    "correction", "correction", "missed", "missed", "go_back", "skip", "remeasure", "wrong",
    "take_note", "attach_picture", "repeat", "where_am_i", "digits", "what_torque", "help",
    "stop_work", "pause_listening", "slower", "go_on", "done", "understood", "confirm", "accept",
    "disposition_use_as_is", "disposition_rework", "adjusted",
)  # fmt: skip


class LeftOffError(Exception):
    """The process ends here and now: power, a crash, or the builder who goes home."""


class Clock:
    """A wall clock that can be set otherwise, a steady one that starts with the machine, and time.

    ``real_s`` is the time that has really passed, which only the rules know.
    """

    kind: Literal["wall", "demo"] = "wall"

    def __init__(self, start: datetime) -> None:
        self._now = start
        self._started_s = 0.0
        self.real_s = 0.0
        self.boot = "boot-0"

    def now(self) -> datetime:
        """The present instant, a second after the last look."""
        self.wait(1)
        return self._now

    def elapsed_ms(self) -> int:
        """Since the machine started."""
        return int((self.real_s - self._started_s) * 1000)

    def skip_to(self, elapsed_ms: int) -> bool:
        """Real time is not to be skipped."""
        return False

    def wait(self, seconds: float) -> None:
        """Time passes."""
        self._now += timedelta(seconds=seconds)
        self.real_s += seconds

    def jump(self, seconds: float) -> None:
        """Somebody sets the wall clock."""
        self._now += timedelta(seconds=seconds)

    def restart(self) -> None:
        """The machine starts again."""
        self.boot = f"boot-{self.real_s:.0f}"
        self._started_s = self.real_s


@dataclass
class Camera:
    """A watched folder with a new picture now and then."""

    rng: random.Random
    taken: int = 0

    def fetch(self, wanted: FetchPicture) -> Picture | NoPicture:
        """A picture that is not known yet, or none."""
        if self.rng.random() < 0.3:
            return NoPicture("none_new")
        self.taken += 1
        return Picture(f"KB2_{self.taken:04}.jpg", f"{self.taken:064x}", "jpeg", 1000,
                       "2026-01-05T08:00:00+00:00")  # fmt: skip


class Builder:
    """Speech input, output and screen of a session in one; notes what happens."""

    def __init__(self, rng: random.Random, job: Job, trace: Trace, clock: Clock) -> None:
        self.rng = rng
        self.job = job
        self.context = job.context
        self.answers = job.answers
        self.trace = trace
        self.clock = clock
        self.state: Callable[[], State] = State
        self.turns = 0
        self.power = _POWER
        self._plan: list[str] = []
        self._aloud = random.Random(job.procedure.id)  # of its own: the walks stay what they were
        self.done: dict[str, int] = {}  # what was interrupted by, and how often

    # --- what is said to the builder

    def say(self, said: Say, cuts: Expectation | None = None) -> Sound | None:
        """A line is spoken; now and then it is cut short, by a word or by the power."""
        if self.rng.random() < self.power:
            self._note(said, False, "power")
            raise LeftOffError
        if cuts is not None and cuts.spec.commands and self.rng.random() < _CUT:
            self._note(said, False, "cut")
            word = self.context.language.phrase_for(self.rng.choice(cuts.spec.commands))
            return Sound(_spoken(word, 0.95))
        self._note(said, True)
        return None

    def can_play(self, clip: str) -> bool:
        """Every fourth recording was lost."""
        return not clip.endswith(("0", "4", "8", "c"))

    def after(self, cuts: Expectation) -> Sound | None:
        """Nothing comes so soon after the last word."""
        return None

    def _note(self, said: Say, whole: bool, why: str = "") -> None:
        sound = said.sound if self.can_play(said.sound) else ""
        self.trace.moves.append(Said(said.text, said.tone, whole, said.about, sound))
        if why:
            self._count(why)

    def _count(self, what: str) -> None:
        self.done[what] = self.done.get(what, 0) + 1

    def chime(self, which: ChimeName) -> None:
        """Not to be judged."""

    def adjust(self, what: Literal["rate", "volume"], steps: int) -> None:
        """Not to be judged."""

    def recorded(self, fact: AnyFact) -> None:
        """After a rework the part measures otherwise."""
        if isinstance(fact, DispositionRecorded) and fact.released_by is not None:
            self._put_right()
        if isinstance(fact, ManualChecked) and not fact.matches:
            self.answers = replace(self.answers, revision=fact.expected)  # fetched from the shelf

    def heard(self, sound: Sound) -> None:
        """Not to be judged."""

    def said(self, said: Say) -> None:
        """Noted down when it is spoken."""

    def screen_state(self, state: State) -> None:
        """Not to be judged."""

    def _put_right(self) -> None:
        readings = {
            s.id: {p: phrase(self.rng, self.job, s.at(p), p, out=0.0) for p in s.places}
            for s in self.context.procedure.steps
            if isinstance(s, ReadStep)
        }
        self.answers = replace(self.answers, readings=readings)

    # --- what the builder says

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        """The next thing heard; None when only time has passed."""
        self.turns += 1
        state = self.state()
        if self.rng.random() < INTERRUPTED:
            given = self._interrupt(expected, state)
            if given is not None:
                return given
        line = self._planned(expected) or self._line(state, expected)
        if line is None:
            self.clock.wait(patience_s or 1.0)
            return None
        if expected.free and self._aloud.random() < 0.5:
            return Sound(_spoken(line, 0.97), np.array([self.turns], np.int16))
        return Sound(self._recognised(line, expected.free))

    def _takes_again(self, expected: Expectation) -> bool:
        """Now and then the builder wants to read the whole step again."""
        return "remeasure" in expected.spec.commands and self._aloud.random() < 0.1

    def _recognised(self, line: str, free: bool, confidence: float = 0.97) -> Recognition:
        if free or self.rng.random() < 0.5:
            return typed(line)
        return _spoken(line, confidence)

    def _line(self, state: State, expected: Expectation) -> str | None:
        """What the builder says when nobody interrupts."""
        say, moment = self.context.language.phrase_for, state.awaiting
        if not state.listening:
            return say("resume_listening")
        match moment:
            case Skipping() if self.rng.random() < 0.7:
                reasons = ("not_fitted", "already_done", "tool_missing", "part_missing")
                return say("skip_" + self.rng.choice(reasons))
            case GoingBack() | Stopping() if self.rng.random() < 0.7:
                return say("confirm")
            case Blocked():
                return self._blocked(state)
            case Review() if self._takes_again(expected):
                return say("remeasure")
            case Release(person=None) | Inspecting(person=None) if self.rng.random() < 0.1:
                return dict(expected.spec.phrases)[BUILDER]
            case Release(person=str()) | Inspecting(person=str()) if self.rng.random() < 0.15:
                return say("refuse")
            case Tightening() if "moved" in expected.spec.commands and self.rng.random() < 0.5:
                return say("moved")
            case Tightening() if self.rng.random() < 0.3:
                return say("done")
            case OutOfLimit() if self.rng.random() < 0.4:
                return say(self._tempted())
            case Measuring(evidence=tried) if len(tried) > 3:
                self._put_right()  # these blades tell nothing more
                return say("correction")
            case _:
                return next_line(self.context, state, self.answers)

    def _planned(self, expected: Expectation) -> str | None:
        """The next word of what the builder is up to, where it may be said."""
        plan, self._plan = self._plan, []
        if not plan or plan[0] not in expected.spec.commands:
            return None
        self._plan = plan[1:]
        return self.context.language.phrase_for(plan[0])

    def _blocked(self, state: State) -> str:
        if self.rng.random() < 0.3:
            raise LeftOffError  # to be resumed at a better bench
        say = self.context.language.phrase_for
        return say("go_back") if self.rng.random() < 0.3 else say("skip")

    def _tempted(self) -> str:
        """Measure the part again, and find it good or not; or try to get past it alone."""
        if self.rng.random() < 0.4:
            self._put_right()
        elif self.rng.random() < 0.5:
            self._plan = ["skip", "skip_already_done"]
        return self.rng.choice(("remeasure", "correction"))

    # --- what comes between

    def _interrupt(self, expected: Expectation, state: State) -> Sound | None:
        spec = expected.spec
        ways: dict[str, Callable[[], Sound | None]] = {
            "left off": self._leave,
            "clock": self._set_clock,
            "noise": lambda: Sound(Recognition((), "walk")),
        }
        if expected.free:
            ways["command in a note"] = lambda: Sound(
                typed(self.context.language.phrase_for(self.rng.choice(("repeat", "help"))))
            )
        if spec.commands:
            ways["command"] = lambda: self._word(spec)
            ways["another command"] = lambda: self._word(spec)
            ways["low confidence"] = lambda: self._doubtful(state, expected)
            ways["second listener"] = lambda: self._second(state, expected)
        if spec.phrases:
            ways["another name"] = lambda: Sound(
                _spoken(self.rng.choice(spec.phrases)[1], self.rng.uniform(0.6, 1.0))
            )
        if spec.reading is not None:
            ways["wrong value"] = lambda: self._sampled(ListenSpec(reading=spec.reading))
        if spec.digits:
            ways["wrong digits"] = lambda: self._sampled(ListenSpec(digits=True))
        if spec.spelling:
            ways["wrong spelling"] = lambda: self._sampled(ListenSpec(spelling=True))
        way = self.rng.choice(sorted(ways))
        self._count(way)
        return ways[way]()

    def _leave(self) -> Sound | None:
        raise LeftOffError

    def _set_clock(self) -> Sound | None:
        hours = self.rng.choice((-1, 0.02, 1, 13, 24))
        self.clock.jump(hours * 3600)
        return None

    def _word(self, spec: ListenSpec) -> Sound:
        known = [w for w in _WORDS if w in spec.commands]
        command = self.rng.choice(known or list(spec.commands))
        return Sound(self._recognised(self.context.language.phrase_for(command), False))

    def _doubtful(self, state: State, expected: Expectation) -> Sound | None:
        line = self._line(state, expected)
        return None if line is None else Sound(_spoken(line, self.rng.uniform(0.3, 0.8)))

    def _second(self, state: State, expected: Expectation) -> Sound | None:
        line = self._line(state, expected)
        if line is None:
            return None
        other = self.context.language.phrase_for(self.rng.choice(expected.spec.commands))
        return Sound(replace(_spoken(line, 0.97), second=self.rng.choice((other, "", line))))

    def _sampled(self, spec: ListenSpec) -> Sound:
        text = self.context.language.sample(spec, self.rng)
        return Sound(self._recognised(text, False, self.rng.uniform(0.6, 1.0)))


def _spoken(text: str, confidence: float) -> Recognition:
    words = tuple(Word(w, confidence=confidence) for w in text.split())
    return Recognition((Hypothesis(words, confidence),), "walk")
