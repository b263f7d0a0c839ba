"""Opening a session: the notice, the manual's revision, variant and parts condition."""

from __future__ import annotations

from assistant.dialogue.effects import ASKED
from assistant.dialogue.events import Opened
from assistant.dialogue.expectation import condition_phrases
from assistant.dialogue.facts import ConditionChosen, ManualChecked
from assistant.dialogue.state import ConditionReadback, Conditions, Manual, ManualReadback
from assistant.dialogue.steps import open_next
from assistant.dialogue.turn import Turn


def open_session(turn: Turn, event: Opened) -> None:
    """Greet, say whose word governs, and ask for the revision of the manual on the bench."""
    procedure = turn.context.procedure
    turn.put(
        opened=True,
        job=event.job,
        people=event.people,
        bench=event.bench,
        habit=event.habit,
        boot=event.boot,
    )
    turn.say("notice", tone="caution")
    turn.say("opening", title=procedure.title, revision=spell(turn, procedure.revision))
    if event.clock == "demo":
        turn.say("demo_clock", tone="caution")
    ask_manual(turn)


def ask_manual(turn: Turn) -> None:
    """Ask for the manual's revision."""
    turn.go(Manual())
    turn.say("manual_ask", tone="ask", title=turn.context.procedure.governing.title)


def spell(turn: Turn, text: str) -> str:
    """``text`` in the spelling alphabet."""
    return turn.context.language.say_spelling(text)


def hear_manual(turn: Turn, spoken: str) -> None:
    """A revision was spoken: read it back."""
    turn.go(ManualReadback(spoken))
    turn.say("manual_readback", tone="readback", about=ASKED, spoken=spell(turn, spoken))


def confirm_manual(turn: Turn, moment: ManualReadback) -> None:
    """The revision is confirmed: go on when it is the procedure's, hold the job when not."""
    expected = turn.context.procedure.governing.revision
    matches = moment.spoken == expected
    turn.record(ManualChecked(spoken=moment.spoken, expected=expected, matches=matches))
    if matches:
        turn.say("manual_matches")
        ask_conditions(turn)
        return
    turn.go(Manual())
    turn.say(
        "manual_mismatch",
        tone="caution",
        spoken=spell(turn, moment.spoken),
        expected=spell(turn, expected),
    )


def ask_conditions(turn: Turn) -> None:
    """Ask for what the steps' conditions need and is not known yet; then the first step."""
    procedure = turn.context.procedure
    variants = procedure.applicability.variants
    conditions = [s.when for s in procedure.steps if s.when is not None]
    if turn.state.variant is None and len(variants) == 1:
        turn.put(variant=variants[0])
    if turn.state.parts is None and len(procedure.applicability.parts) == 1:
        turn.put(parts=procedure.applicability.parts[0])
    if turn.state.variant is None and variants:
        _ask(turn, "variant")
    elif turn.state.parts is None and any(c.parts is not None for c in conditions):
        _ask(turn, "parts")
    else:
        open_next(turn)


def _ask(turn: Turn, what: str) -> None:
    turn.go(Conditions("variant" if what == "variant" else "parts"))
    options = turn.words("or").join(words for _, words in condition_phrases(turn.context, what))
    turn.say("condition_ask_" + what, tone="ask", options=options)


def hear_condition(turn: Turn, moment: Conditions, value: str) -> None:
    """A condition was spoken: read it back."""
    turn.go(ConditionReadback(moment.what, value))
    words = dict(condition_phrases(turn.context, moment.what))[value]
    turn.say("choice_readback", tone="readback", about=ASKED, option=words)


def confirm_condition(turn: Turn, moment: ConditionReadback) -> None:
    """The condition is confirmed."""
    turn.record(ConditionChosen(what=moment.what, value=moment.value))
    if moment.what == "variant":
        turn.put(variant=moment.value)
    else:
        turn.put(parts="new" if moment.value == "new" else "reused")
    ask_conditions(turn)


def reject_condition(turn: Turn, moment: ConditionReadback) -> None:
    """The readback was wrong: ask again."""
    _ask(turn, moment.what)
