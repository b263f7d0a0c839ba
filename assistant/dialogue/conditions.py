"""The variant and the condition of the parts: asked for, heard and read back."""

from __future__ import annotations

from typing import Literal

from assistant.dialogue.context import Context
from assistant.dialogue.facts import ConditionChosen
from assistant.dialogue.state import State
from assistant.dialogue.states import ConditionReadback, Conditions, OpeningReadback
from assistant.dialogue.steps import open_next
from assistant.dialogue.turn import Turn
from assistant.shown_text import id_in_words

BOTH = "/"  # between a variant and a parts condition that are named in one breath


def ask_together(turn: Turn, at: Conditions) -> None:
    """Ask for variant and parts, which may be named in one breath; or for the parts still open."""
    turn.go(at)
    variants, parts = (options(turn, what) for what in ("variant", "parts"))
    if at.what == "variant":
        turn.say("condition_ask_both", tone="ask", variants=variants, parts=parts)
    else:
        turn.say("condition_ask_parts", tone="ask", options=parts)


def hear_together(turn: Turn, at: Conditions, value: str) -> None:
    """A condition was spoken, or both: ask for the other, or read all of it back."""
    variant, _, parts = value.partition(BOTH)
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
        spoken=turn.context.language.say_spelling(manual),
        variant=dict(condition_phrases(turn.context, "variant"))[variant],
        parts=dict(condition_phrases(turn.context, "parts"))[parts],
    )


def ask_conditions(turn: Turn) -> None:
    """Ask for what the steps' conditions need and is not known yet; then the first step."""
    settle_only_choices(turn)
    still = open_conditions(turn.context, turn.state)
    if still:
        _ask(turn, still[0])
    else:
        open_next(turn)


def settle_only_choices(turn: Turn) -> None:
    """A variant or parts condition that is the only one need not be asked for."""
    applies = turn.context.procedure.applicability
    if turn.state.variant is None and len(applies.variants) == 1:
        turn.put(variant=applies.variants[0])
    if turn.state.parts is None and len(applies.parts) == 1:
        turn.put(parts=applies.parts[0])


def open_conditions(context: Context, state: State) -> list[str]:
    """What the steps' conditions need and is not known yet."""
    procedure = context.procedure
    conditions = [s.when for s in procedure.steps if s.when is not None]
    applies = procedure.applicability
    variant = state.variant is None and len(applies.variants) > 1
    parts = state.parts is None and any(c.parts is not None for c in conditions)
    parts = parts and len(applies.parts) != 1
    return ["variant"] * variant + ["parts"] * parts


def asks_all(context: Context, state: State) -> bool:
    """Whether revision, variant and parts are all to be said, which may be done in one breath."""
    return state.talk is not None and open_conditions(context, state) == ["variant", "parts"]


def options(turn: Turn, what: str, joint: str = "or") -> str:
    """The variants, or the conditions of the parts, that may be named."""
    return turn.words(joint).join(words for _, words in condition_phrases(turn.context, what))


def _ask(turn: Turn, what: str) -> None:
    turn.go(Conditions("variant" if what == "variant" else "parts"))
    turn.say("condition_ask_" + what, tone="ask", options=options(turn, what))


def hear_condition(turn: Turn, at: Conditions, value: str) -> None:
    """A condition was spoken: read it back."""
    turn.go(ConditionReadback(at.what, value))
    words = dict(condition_phrases(turn.context, at.what))[value]
    turn.read_back("choice_readback", option=words)


def confirm_condition(turn: Turn, at: ConditionReadback) -> None:
    """The condition is confirmed."""
    record_condition(turn, at.what, at.value)
    ask_conditions(turn)


def record_condition(turn: Turn, what: Literal["variant", "parts"], value: str) -> None:
    """Record a variant or parts condition, and keep it for the steps that depend on it."""
    turn.record(ConditionChosen(what=what, value=value))
    if what == "variant":
        turn.put(variant=value)
    else:
        turn.put(parts="new" if value == "new" else "reused")


def reject_condition(turn: Turn, at: ConditionReadback) -> None:
    """The readback was wrong: ask again."""
    _ask(turn, at.what)


def condition_phrases(context: Context, what: str) -> tuple[tuple[str, str], ...]:
    """(value, spoken words) of the variants or parts conditions of the procedure."""
    applies = context.procedure.applicability
    if what == "variant":
        return tuple((v, id_in_words(v)) for v in applies.variants)
    return tuple((p, context.language.prompt(f"parts_{p}")) for p in applies.parts)


def phrases_together(context: Context) -> tuple[tuple[str, str], ...]:
    """Every variant, alone and with every parts condition."""
    variants, parts = (condition_phrases(context, what) for what in ("variant", "parts"))
    say = context.language.prompt
    return variants + tuple(
        (f"{v}{BOTH}{p}", say("condition_both", variant=variant, parts=part))
        for v, variant in variants
        for p, part in parts
    )
