"""A first try: three minutes with a small procedure, a hint before each answer, and a record."""

from __future__ import annotations

import sys
from dataclasses import replace

import typer

from assistant.board.together import ScreensTogether
from assistant.cli.errors import plainly
from assistant.cli.hearing import Hearing, HearingError, open_input
from assistant.cli.people import initials, people
from assistant.cli.practice import practice_store
from assistant.cli.record_screen import shown
from assistant.cli.screen import TerminalScreen
from assistant.cli.session_options import StorePlace
from assistant.cli.speaking import open_voice, voice_output
from assistant.cli.terminal import tell
from assistant.cli.which_procedure import find_procedure
from assistant.cli.workplace import context_for, new_session_id, open_store, opening, utc_now
from assistant.dialogue.context import Context
from assistant.dialogue.effects import Say
from assistant.dialogue.expectation import Expectation
from assistant.dialogue.facts import Fact
from assistant.dialogue.stand_in import Answers, StandInError
from assistant.dialogue.state import State
from assistant.journal.types import JournalError
from assistant.procedure.faults import ProcedureFaults
from assistant.report.record import build_record
from assistant.session.clock import WallClock
from assistant.session.edges import Sound, SpeechInput
from assistant.session.rehearsal import answers_for
from assistant.session.session import Session
from assistant.session.stand_in import next_line
from assistant.session.surroundings import SessionEdges, SessionStore

app = typer.Typer()

PROCEDURE = "kb2_first_try"
BUILDER = "Robin Firsttry"
INSPECTOR = "Sam Lookover"
_HELLO = """
This is a first try: no part, no tool and no microphone is needed. The assistant tells you what
to do, and you answer as you would at the bench. Each time, a hint shows what you could {way} now.
Try other things too: another number, '{wrong}', '{again}', '{help}'.
The machine, its numbers and its people are invented.
"""
_NEXT = """
That was the record; nothing in it can be changed unseen. It is kept apart from records of real
work, in {where}
  assembly-assistant record {session} --store "{where}"
What to do next:
  assembly-assistant doctor                  what your microphone and loudspeaker still need
  assembly-assistant procedures              the procedures that are here, all of them examples
  assembly-assistant starter STEPS.txt       make a procedure of your own from a list of steps
  assembly-assistant run PROCEDURE --builder "YOUR NAME"
The maker's current manual, local rules and licensed trades come before anything the assistant says.
"""


class Hints:
    """A screen and a speech input: what a builder could answer is shown when it is their turn."""

    def __init__(self, context: Context, way: str, source: SpeechInput) -> None:
        self._context = context
        self._answers = answers_for(context, initials(INSPECTOR))
        self._way = way
        self._source = source
        self._next: str | None = None

    def state(self, state: State) -> None:
        """Keep the hint for ``state``, where there is one."""
        try:
            self._next = next_line(self._context, state, self._as_read(state))
        except StandInError:
            self._next = None

    def _as_read(self, state: State) -> Answers:
        """The answers, where the builder had a reading of their own that is in limits: that one."""
        answers = self._answers
        step, language = state.step or "", self._context.language
        own = {
            place: language.prompt(
                "reading_phrase", value=language.say_amount(value.indication.amount)
            )
            for place, value in state.values.get(step, {}).items()
            if value.judgement.verdict == "in" and value.indication.relation == "eq"
        }
        if not own:
            return answers
        readings = {**answers.readings.get(step, {}), **own}
        return replace(answers, readings={**answers.readings, step: readings})

    def hear(self, expected: Expectation, patience_s: float | None) -> Sound | None:
        """Show the hint once, and listen.

        Raises:
            EndOfInput: nothing more will come.
        """
        if self._next is not None:
            tell(f'     You could {self._way}: "{self._next}"')
            self._next = None
        return self._source.hear(expected, patience_s)

    def heard(self, sound: Sound) -> None:
        """No hint comes from that."""

    def said(self, said: Say) -> None:
        """No hint comes from that."""

    def recorded(self, fact: Fact) -> None:
        """No hint comes from that."""


@app.command("try")
@plainly(HearingError, JournalError, ProcedureFaults, OSError)
def first_try(
    microphone: bool = typer.Option(
        False, "--microphone", help="Speak the answers instead of typing them."
    ),
    voice: str = typer.Option("auto", "--voice", help="Voice: auto, silent, or a folder."),
    store: StorePlace = None,
) -> None:
    """Get to know it in three minutes: typed or spoken, with a hint before each answer."""
    kept = open_store(store or str(practice_store()))
    clock = WallClock()
    loaded, opened = opening(
        find_procedure(PROCEDURE), "first try", people(BUILDER, (INSPECTOR,)), clock
    )
    context = context_for(loaded)
    say = context.language.phrase_for
    way = "say" if microphone else "type"
    tell(_HELLO.format(way=way, wrong=say("wrong"), again=say("repeat"), help=say("help")))
    output = voice_output(open_voice(voice))
    source = open_input(Hearing(keyboard=not microphone), context, output.gate)
    hints = Hints(context, way, source)
    session = Session(
        new_session_id(opened.job, utc_now()),
        context,
        store=SessionStore(kept.journal, kept.clips),
        edges=SessionEdges(
            output, ScreensTogether(TerminalScreen(sys.stdout, context), hints), clock
        ),
    )
    if not session.open(opened):
        raise typer.Exit(1)
    if session.run(hints) != "finished":
        again = f'assembly-assistant resume {session.id} --store "{kept.where}"'
        tell(f"\nSaved. Continue with: {again}")
        return
    tell("\n" + shown(build_record(kept.journal.read(session.id))))
    tell(_NEXT.format(session=session.id, where=kept.where))
