"""Opening a session: the notice, the manual's revision, variant and parts condition."""

from __future__ import annotations

from typing import assert_never

from assistant.dialogue.commands import YES_NO
from assistant.dialogue.context import Context
from assistant.dialogue.events import Opened
from assistant.dialogue.facts import ConditionChosen, ManualChecked
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
from assistant.dialogue.steps import open_next
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, Phrase, Spelling

_Own = Manual | ManualReadback | Conditions | ConditionReadback | OpeningReadback
_BOTH = "/"  # between a variant and a parts condition that are named in one breath


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
    )
    turn.say_short("notice", tone="caution")
    turn.say_short("opening", title=procedure.title, revision=spell(turn, procedure.revision))
    if event.clock == "demo":
        turn.say("demo_clock", tone="caution")
    ask_manual(turn)


def ask_manual(turn: Turn) -> None:
    """Ask for the manual's revision."""
    turn.go(Manual())
    turn.say_short("manual_ask", tone="ask", title=turn.context.procedure.governing.title)


def spell(turn: Turn, text: str) -> str:
    """``text`` in the spelling alphabet."""
    return turn.context.language.say_spelling(text)


def hear_manual(turn: Turn, spoken: str) -> None:
    """A revision was spoken: read it back, with the answers to what is asked next if it matches."""
    procedure = turn.context.procedure
    if turn.state.talk is not None and spoken == procedure.governing.revision:
        _one_choice(turn)
        if _open_conditions(turn.context, turn.state) == ["variant", "parts"]:
            ask_together(turn, Conditions("variant", manual=spoken))
            return
    turn.go(ManualReadback(spoken))
    turn.read_back("manual_readback", spoken=spell(turn, spoken))


def ask_together(turn: Turn, at: Conditions) -> None:
    """Ask for variant and parts, which may be named in one breath; or for the parts still open."""
    turn.go(at)
    variants, parts = (_options(turn, what) for what in ("variant", "parts"))
    if at.what == "variant":
        turn.say("condition_ask_both", tone="ask", variants=variants, parts=parts)
    else:
        turn.say("condition_ask_parts", tone="ask", options=parts)


def hear_together(turn: Turn, at: Conditions, value: str) -> None:
    """A condition was spoken, or both: ask for the other, or read all of it back."""
    variant, _, parts = value.partition(_BOTH)
    if at.what == "parts":
        variant, parts = at.variant, value
    if parts:
        turn.go(OpeningReadback(at.manual, variant, parts))
        say_opening_readback(turn, at.manual, variant, parts)
    else:
        ask_together(turn, Conditions("parts", at.manual, variant))


def say_opening_readback(turn: Turn, manual: str, variant: str, parts: str) -> None:
    """Read back the manual's revision and both conditions."""
    turn.read_back(
        "opening_readback",
        spoken=spell(turn, manual),
        variant=dict(condition_phrases(turn.context, "variant"))[variant],
        parts=dict(condition_phrases(turn.context, "parts"))[parts],
    )


def confirm_opening(turn: Turn, at: OpeningReadback) -> None:
    """Manual and conditions are confirmed: the first step opens."""
    expected = turn.context.procedure.governing.revision
    turn.record(ManualChecked(spoken=at.manual, expected=expected, matches=True))
    turn.show("manual_matches")
    turn.record(ConditionChosen(what="variant", value=at.variant))
    turn.record(ConditionChosen(what="parts", value=at.parts))
    turn.put(variant=at.variant, parts="new" if at.parts == "new" else "reused")
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


def ask_conditions(turn: Turn) -> None:
    """Ask for what the steps' conditions need and is not known yet; then the first step."""
    _one_choice(turn)
    still = _open_conditions(turn.context, turn.state)
    if still:
        _ask(turn, still[0])
    else:
        open_next(turn)


def _one_choice(turn: Turn) -> None:
    """A variant or parts condition that is the only one need not be asked for."""
    applies = turn.context.procedure.applicability
    if turn.state.variant is None and len(applies.variants) == 1:
        turn.put(variant=applies.variants[0])
    if turn.state.parts is None and len(applies.parts) == 1:
        turn.put(parts=applies.parts[0])


def _open_conditions(context: Context, state: State) -> list[str]:
    """What the steps' conditions need and is not known yet."""
    procedure = context.procedure
    conditions = [s.when for s in procedure.steps if s.when is not None]
    variant = state.variant is None and bool(procedure.applicability.variants)
    parts = state.parts is None and any(c.parts is not None for c in conditions)
    return ["variant"] * variant + ["parts"] * parts


def _options(turn: Turn, what: str) -> str:
    return turn.words("or").join(words for _, words in condition_phrases(turn.context, what))


def _ask(turn: Turn, what: str) -> None:
    turn.go(Conditions("variant" if what == "variant" else "parts"))
    turn.say("condition_ask_" + what, tone="ask", options=_options(turn, what))


def hear_condition(turn: Turn, at: Conditions, value: str) -> None:
    """A condition was spoken: read it back."""
    turn.go(ConditionReadback(at.what, value))
    words = dict(condition_phrases(turn.context, at.what))[value]
    turn.read_back("choice_readback", option=words)


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


def _together(context: Context) -> tuple[tuple[str, str], ...]:
    """Every variant, alone and with every parts condition."""
    variants, parts = (condition_phrases(context, what) for what in ("variant", "parts"))
    say = context.language.prompt
    return variants + tuple(
        (f"{v}{_BOTH}{p}", say("condition_both", variant=variant, parts=part))
        for v, variant in variants
        for p, part in parts
    )


class Opening(StateOwner[_Own]):
    """Nothing opens before the manual's revision and the conditions are read back and right."""

    states = (Manual, ManualReadback, Conditions, ConditionReadback, OpeningReadback)
    reads_phrases_back = True

    def may_be_said(self, context: Context, state: State, at: _Own) -> MayBeSaid:
        """A revision spelled; a variant or parts condition; yes or no."""
        match at:
            case Manual():
                return MayBeSaid(spelling=True)
            case Conditions(what="variant", manual=str() as manual) if manual:
                return MayBeSaid(phrases=_together(context))
            case Conditions(what=what):
                return MayBeSaid(phrases=condition_phrases(context, what))
            case ManualReadback() | ConditionReadback() | OpeningReadback():
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
                return builder.spell(answers.revision)
            case ManualReadback(spoken=spoken):
                return builder.agree(spoken == answers.revision)
            case Conditions(what="variant", manual=manual) if manual:
                both = f"{answers.variant}{_BOTH}{answers.parts}"
                return builder.pick(both, _together(builder.context))
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
