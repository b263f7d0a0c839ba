"""Opening a session: the notice, the revision of the manual, then what ``conditions`` asks."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue.commands import YES_NO
from assistant.dialogue.conditions import (
    BOTH,
    ask_conditions,
    ask_together,
    asks_all,
    condition_phrases,
    confirm_condition,
    hear_condition,
    hear_together,
    options,
    phrases_together,
    record_condition,
    reject_condition,
    say_opening_readback,
)
from assistant.dialogue.context import Context
from assistant.dialogue.events import Opened
from assistant.dialogue.facts import ManualChecked
from assistant.dialogue.owner import MayBeSaid, Said, StateOwner
from assistant.dialogue.stand_in import StandIn
from assistant.dialogue.state import State
from assistant.dialogue.states import (
    ConditionReadback,
    Conditions,
    Manual,
    ManualReadback,
    OpeningReadback,
)
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Phrase, Spelling

_Own = Manual | ManualReadback | Conditions | ConditionReadback | OpeningReadback


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
        talk=event.talk,
        edition=event.edition,
        local=event.local,
    )
    turn.say_short("notice", tone="caution")
    turn.say_short("opening", title=procedure.title, revision=spell(turn, procedure.revision))
    if event.clock == "demo":
        turn.say("demo_clock", tone="caution")
    ask_manual(turn)


def ask_manual(turn: Turn) -> None:
    """Ask for the manual's revision."""
    turn.go(Manual())
    title = turn.context.procedure.governing.title
    if asks_all(turn.context, turn.state):
        variants, either = options(turn, "variant", "or_plain"), turn.words("parts_either")
        turn.say_short("manual_ask_all", tone="ask", title=title, variants=variants, parts=either)
    else:
        turn.say_short("manual_ask", tone="ask", title=title)


def spell(turn: Turn, text: str) -> str:
    """``text`` in the spelling alphabet."""
    return turn.context.language.say_spelling(text)


def hear_manual(turn: Turn, spoken: str, then: str = "") -> None:
    """A revision was spoken: read it back, with the answers to what is asked next if it matches.

    ``then``: the conditions that were named with it; dropped if it does not match.
    """
    turn.known("spell_ask")
    if spoken == turn.context.procedure.governing.revision and asks_all(turn.context, turn.state):
        at = Conditions("variant", manual=spoken)
        if then:
            hear_together(turn, at, then)
        else:
            ask_together(turn, at)
        return
    turn.go(ManualReadback(spoken))
    turn.read_back("manual_readback", spoken=spell(turn, spoken))


def confirm_opening(turn: Turn, at: OpeningReadback) -> None:
    """Manual and conditions are confirmed: the first step opens."""
    expected = turn.context.procedure.governing.revision
    turn.record(ManualChecked(spoken=at.manual, expected=expected, matches=True))
    turn.show("manual_matches")
    record_condition(turn, "variant", at.variant)
    record_condition(turn, "parts", at.parts)
    ask_conditions(turn)


def confirm_manual(turn: Turn, at: ManualReadback) -> None:
    """The revision is confirmed: go on when it is the procedure's, hold the job when not."""
    expected = turn.context.procedure.governing.revision
    matches = at.spoken == expected
    turn.record(ManualChecked(spoken=at.spoken, expected=expected, matches=matches))
    if matches:
        turn.show("manual_matches")
        ask_conditions(turn)
        return
    turn.go(Manual())
    turn.say(
        "manual_mismatch",
        tone="caution",
        spoken=spell(turn, at.spoken),
        expected=spell(turn, expected),
    )


def _said_of_manual(builder: StandIn) -> str:
    """The revision, and with it the conditions where they may be named at once."""
    answers = builder.answers
    spelled = builder.spell(answers.revision)
    if not asks_all(builder.context, builder.state):
        return spelled
    both = f"{answers.variant}{BOTH}{answers.parts}"
    return f"{spelled} {builder.pick(both, phrases_together(builder.context))}"


class Opening(StateOwner[_Own]):
    """Nothing opens before the manual's revision and the conditions are read back and right."""

    states = (Manual, ManualReadback, Conditions, ConditionReadback, OpeningReadback)
    reads_phrases_back = True

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """A revision spelled; a variant or parts condition; yes or no."""
        match at:
            case Manual():
                then = phrases_together(context) if asks_all(context, state) else ()
                return MayBeSaid(spelling=True, after_spelling=then)
            case Conditions(what="variant", manual=str() as manual) if manual:
                return MayBeSaid(phrases=phrases_together(context))
            case Conditions(what=what):
                return MayBeSaid(phrases=condition_phrases(context, what))
            case ManualReadback() | ConditionReadback() | OpeningReadback():
                return MayBeSaid(YES_NO)
            case _:
                assert_never(at)

    def answer(self, turn: Turn, at: _Own, said: Said) -> bool:
        """Read back what was said; take what is confirmed."""
        match at, said.meaning:
            case Manual(), Spelling(text=text, then=then):
                hear_manual(turn, text, then)
            case ManualReadback(), Command(id="confirm"):
                confirm_manual(turn, at)
            case ManualReadback(), Command(id="wrong"):
                ask_manual(turn)
            case Conditions(manual=manual), Phrase(id=value) if manual:
                hear_together(turn, at, value)
            case OpeningReadback(), Command(id="confirm"):
                confirm_opening(turn, at)
            case OpeningReadback(), Command(id="wrong"):
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
            case OpeningReadback(manual=manual, variant=variant, parts=parts):
                say_opening_readback(turn, manual, variant, parts)
            case Conditions(manual=manual) if manual:
                ask_together(turn, at)
            case Conditions() | ConditionReadback():
                ask_conditions(turn)
            case _:
                assert_never(at)

    def next_line(self, builder: StandIn, at: _Own) -> str:
        """What the answers have."""
        answers = builder.answers
        match at:
            case Manual():
                return _said_of_manual(builder)
            case ManualReadback(spoken=spoken):
                return builder.agree(spoken == answers.revision)
            case Conditions(what="variant", manual=manual) if manual:
                both = f"{answers.variant}{BOTH}{answers.parts}"
                return builder.pick(both, phrases_together(builder.context))
            case OpeningReadback(manual=manual, variant=variant, parts=parts):
                meant = (answers.revision, answers.variant, answers.parts)
                return builder.agree((manual, variant, parts) == meant)
            case Conditions(what=what):
                wanted = answers.variant if what == "variant" else answers.parts
                return builder.pick(wanted, condition_phrases(builder.context, what))
            case ConditionReadback(what=what, value=value):
                return builder.agree(
                    value == (answers.variant if what == "variant" else answers.parts)
                )
            case _:
                assert_never(at)
