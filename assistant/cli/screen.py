"""The terminal as a screen: a large plain transcript, and progress by step."""

from __future__ import annotations

from typing import TextIO, assert_never, cast

from assistant.cli.terminal import plain
from assistant.dialogue.effects import Say
from assistant.dialogue.facts import (
    Acknowledged,
    Adjusted,
    ConditionChosen,
    DispositionDropped,
    DispositionRecorded,
    Fact,
    ListeningPaused,
    ManualChecked,
    NoteTaken,
    NoteTakenBack,
    PictureAttached,
    PictureTakenBack,
    RevisionNoticed,
    SharedFact,
    StepDone,
    StepOpened,
    StepReopened,
    TalkChanged,
    ToolChecked,
    WorkFinished,
    WorkStopped,
)
from assistant.dialogue.state import State
from assistant.report.kinds import recording
from assistant.session.edges import Sound

_MARK = {"plain": "   ", "caution": " ! ", "readback": " = ", "ask": " ? "}


class TerminalScreen:
    """Prints what is heard, said and recorded, one line each."""

    def __init__(self, out: TextIO) -> None:
        self._out = out

    def _line(self, text: str) -> None:
        print(plain(text), file=self._out, flush=True)

    def heard(self, sound: Sound) -> None:
        """Show the words and how sure the engine was."""
        best = next(iter(sound.recognition.hypotheses), None)
        if best is None:
            self._line("you  [speech kept]")
        elif sound.recognition.engine == "keyboard":
            self._line(f"you  {best.text}")
        else:
            self._line(f"you  {best.text}   ({round(best.confidence * 100)} % sure)")

    def said(self, said: Say) -> None:
        """Show the assistant's words, marked by tone."""
        self._line(f"  {_MARK[said.tone]} {said.whole}")

    def recorded(self, fact: Fact) -> None:
        """Show the facts that a builder would look for."""
        text = describe(fact)
        if isinstance(fact, StepOpened):
            self._line("")
        if text:
            self._line(f"       record: {text}")

    def state(self, state: State) -> None:
        """Nothing more to show: the transcript is the screen."""


def describe(fact: Fact) -> str:
    """A fact as one line of the transcript; empty for those that need none."""
    kind = recording(fact)
    return _shared(cast(SharedFact, fact)) if kind is None else kind.in_short(fact)


def _shared(fact: SharedFact) -> str:
    match fact:
        case DispositionRecorded(released_by=str()):
            return f"disposition {fact.disposition}, released by {fact.released_by}"
        case DispositionDropped(how="refused"):
            return f"disposition {fact.disposition}, refused by {fact.person}"
        case RevisionNoticed():
            return f"revision {fact.revision} of the procedure acknowledged"
        case Adjusted():
            return f"adjustment {fact.number}: {fact.what}"
        case PictureAttached():
            return f"picture {fact.name} ({fact.size} bytes)"
        case PictureTakenBack():
            return "picture taken back"
        case (
            ManualChecked() | ConditionChosen() | StepOpened() | StepDone() | StepReopened()
            | Acknowledged() | ToolChecked() | DispositionRecorded() | DispositionDropped()
            | NoteTaken() | NoteTakenBack() | ListeningPaused() | TalkChanged() | WorkStopped()
            | WorkFinished()
        ):  # fmt: skip
            return ""
        case _:
            assert_never(fact)
