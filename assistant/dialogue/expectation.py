"""What may be said now: the listening spec of the state, as narrow as the state allows."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.dialogue.context import Context
from assistant.dialogue.kinds.kind import kind_of
from assistant.dialogue.owner import MayBeSaid, owner_of
from assistant.dialogue.state import State
from assistant.language.spec import ListenSpec


@dataclass(frozen=True)
class Expectation:
    """``spec``: what the recogniser listens for. ``free``: any other speech is kept as it is."""

    spec: ListenSpec
    free: bool = False


def listening(context: Context, state: State) -> Expectation:
    """The expectation of ``state``: what may be said, and whether free speech is kept."""
    if not state.listening:
        return Expectation(ListenSpec(commands=("resume_listening",)))
    own = owner_of(state.awaiting).may_be_said(context, state, state.awaiting)
    commands = own.commands + _leaving(context, state, own)
    if "correction" not in commands and _may_correct(state, own):
        commands += ("correction",)
    spec = ListenSpec(
        commands=commands + tuple(c for c in own.anytime if c not in commands),
        reading=own.reading,
        digits=own.digits,
        spelling=own.spelling,
        phrases=own.phrases,
        spoken_values=own.spoken_values,
        after_spelling=own.after_spelling,
    )
    return Expectation(spec, own.free)


def _leaving(context: Context, state: State, own: MayBeSaid) -> tuple[str, ...]:
    """What leaves the open step: back to one before it, or past it with a reason."""
    if state.step is None:
        return ()
    back = own.go_back and len(state.history) > 1
    skip = own.skip and kind_of(context.procedure.step(state.step)).may_be_skipped
    return (("go_back",) if back else ()) + (("skip",) if skip else ())


def _may_correct(state: State, own: MayBeSaid) -> bool:
    """Whether "correction" takes back a note or picture, or names the way back to a value."""
    if not own.anytime:
        return False  # the work is done
    earlier = own.correct_earlier and any(state.values.values())
    return state.kept is not None or earlier
