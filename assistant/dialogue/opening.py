"""Opening a session: the notice, the manual's revision, variant and parts condition."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue.commands import YES_NO
from assistant.dialogue.context import Context
from assistant.dialogue.effects import ASKED
from assistant.dialogue.events import Opened
from assistant.dialogue.facts import ConditionChosen, ManualChecked
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import ConditionReadback, Conditions, Manual, ManualReadback, State
from assistant.dialogue.steps import open_next
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Phrase, Spelling

_Own = Manual | ManualReadback | Conditions | ConditionReadback


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
        phrases_asked=event.phrases_asked,
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


def confirm_manual(turn: Turn, at: ManualReadback) -> None:
    """The revision is confirmed: go on when it is the procedure's, hold the job when not."""
    expected = turn.context.procedure.governing.revision
    matches = at.spoken == expected
    turn.record(ManualChecked(spoken=at.spoken, expected=expected, matches=matches))
    if matches:
        turn.say("manual_matches")
        ask_conditions(turn)
        return
    turn.go(Manual())
    turn.say(
        "manual_mismatch",
        tone="caution",
        spoken=spell(turn, at.spoken),
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


def hear_condition(turn: Turn, at: Conditions, value: str) -> None:
    """A condition was spoken: read it back."""
    turn.go(ConditionReadback(at.what, value))
    words = dict(condition_phrases(turn.context, at.what))[value]
    turn.say("choice_readback", tone="readback", about=ASKED, option=words)


def confirm_condition(turn: Turn, at: ConditionReadback) -> None:
    """The condition is confirmed."""
    turn.record(ConditionChosen(what=at.what, value=at.value))
    if at.what == "variant":
        turn.put(variant=at.value)
    else:
        turn.put(parts="new" if at.value == "new" else "reused")
    ask_conditions(turn)


def reject_condition(turn: Turn, at: ConditionReadback) -> None:
    """The readback was wrong: ask again."""
    _ask(turn, at.what)


def condition_phrases(context: Context, what: str) -> tuple[tuple[str, str], ...]:
    """(value, spoken words) of the variants or parts conditions of the procedure."""
    applies = context.procedure.applicability
    if what == "variant":
        return tuple((v, v.replace("_", " ")) for v in applies.variants)
    return tuple((p, context.language.prompt(f"parts_{p}")) for p in applies.parts)


class Opening(StateOwner[_Own]):
    """Nothing opens before the manual's revision and the conditions are read back and right."""

    states = (Manual, ManualReadback, Conditions, ConditionReadback)
    reads_phrases_back = True

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """A revision spelled; a variant or parts condition; yes or no."""
        match at:
            case Manual():
                return MayBeSaid(spelling=True)
            case Conditions(what=what):
                return MayBeSaid(phrases=condition_phrases(context, what))
            case ManualReadback() | ConditionReadback():
                return MayBeSaid(YES_NO)
            case _:
                assert_never(at)

    def answer(self, turn: Turn, at: _Own, said: Said) -> bool:
        """Read back what was said; take what is confirmed."""
        match at, said.meaning:
            case Manual(), Spelling(text=text):
                hear_manual(turn, text)
            case ManualReadback(), Command(id="confirm"):
                confirm_manual(turn, at)
            case ManualReadback(), Command(id="wrong"):
                ask_manual(turn)
            case Conditions(), Phrase(id=value):
                hear_condition(turn, at, value)
            case ConditionReadback(), Command(id="confirm"):
                confirm_condition(turn, at)
            case ConditionReadback(), Command(id="wrong"):
                reject_condition(turn, at)
            case _:
                return False
        return True

    def ask_again(self, turn: Turn, at: _Own) -> None:
        """Ask again, or read back again what the manual says."""
        match at:
            case Manual():
                ask_manual(turn)
            case ManualReadback(spoken=spoken):
                hear_manual(turn, spoken)
            case Conditions() | ConditionReadback():
                ask_conditions(turn)
            case _:
                assert_never(at)

    def next_line(self, builder: StandIn, at: _Own) -> str:
        """What the answers have."""
        answers = builder.answers
        match at:
            case Manual():
                return builder.spell(answers.revision)
            case ManualReadback(spoken=spoken):
                return builder.agree(spoken == answers.revision)
            case Conditions(what=what):
                wanted = answers.variant if what == "variant" else answers.parts
                return builder.pick(wanted, condition_phrases(builder.context, what))
            case ConditionReadback(what=what, value=value):
                return builder.agree(
                    value == (answers.variant if what == "variant" else answers.parts)
                )
            case _:
                assert_never(at)
