"""The terminal as a screen: a large plain transcript, and progress by step."""

from __future__ import annotations

from typing import TextIO, assert_never, cast

from assistant.board.taken import not_taken
from assistant.board.words import load_words
from assistant.cli.terminal import print_folded, shows_what_is_typed
from assistant.dialogue.context import Context
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
from assistant.language.trust import Again
from assistant.quantities.symbols import with_symbols
from assistant.report.kinds import recording
from assistant.session.edges import Sound
from assistant.shown_text import id_in_words

_INDENT = 6  # where what is said begins, behind its mark
_MARK = {"plain": "   ", "caution": " ! ", "readback": " = ", "ask": " ? "}


class TerminalScreen:
    """Prints what is heard, said and recorded, one line each, folded to a terminal's width.

    ``context``: the session's; with it, spoken words that were not taken are marked.
    """

    def __init__(self, out: TextIO, context: Context | None = None) -> None:
        self._out, self._context = out, context
        self._words = None if context is None else load_words(context.procedure.language)
        self._state = State()
        self._typed_is_seen = shows_what_is_typed(out)

    def _line(self, text: str) -> None:
        print_folded(with_symbols(text), self._out, _INDENT)

    def heard(self, sound: Sound) -> None:
        """Show the words and how sure the engine was."""
        best = next(iter(sound.recognition.hypotheses), None)
        if best is None:
            self._line("you  [speech kept]")
        elif sound.recognition.engine == "keyboard":
            if not self._typed_is_seen:
                self._line(f"you  {best.text}")
        else:
            sure = f"({round(best.confidence * 100)} % sure)"
            self._line(f"you  {best.text}   {sure}{self._not_taken(sound)}")

    def _not_taken(self, sound: Sound) -> str:
        """That spoken words were not taken, and why, by the rule of trust that the dialogue uses.

        A line that was typed is answered with a sentence of its own.
        """
        if self._context is None or self._words is None:
            return ""
        why = not_taken(self._context, self._state, sound.recognition)
        if why is None:
            return ""
        told = f": {self._words(f'refused_{why.why}')}" if isinstance(why, Again) else ""
        return f"   {self._words('label_refused')}{told}"

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
        """Nothing more to show: what is heard next is judged in it."""
        self._state = state


def describe(fact: Fact) -> str:
    """A fact as one line of the transcript; empty for those that need none."""
    kind = recording(fact)
    return _shared(cast(SharedFact, fact)) if kind is None else kind.in_short(fact)


def _shared(fact: SharedFact) -> str:
    match fact:
        case DispositionRecorded(released_by=str()):
            what = id_in_words(fact.disposition)
            return f"disposition {what}, released by {fact.released_by}"
        case DispositionDropped(how="refused"):
            what = id_in_words(fact.disposition)
            return f"disposition {what}, refused by {fact.person}"
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
