"""The phrases that fit now: the few that carry the work on first, then the ways back."""

from __future__ import annotations

from assistant.board.kinds import kind_of
from assistant.board.kinds.kind import Glance
from assistant.board.plain import short
from assistant.board.view import SayablePhrase
from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.expectation import listening
from assistant.dialogue.owner import taught
from assistant.dialogue.states import underlying

_MOST = 6  # more cannot be taken in at a glance; "help" says them all
_SIDEWAYS = ("go_back", "skip")
_BACK = ("remeasure", "missed", "wrong", "correction")


def phrases(at: Glance) -> tuple[SayablePhrase, ...]:
    """What may be said, as far as it leads anywhere."""
    words, state = at.words, at.state
    if state.stopped:
        return ()
    expected = listening(at.context, state)
    if expected.free:
        return (SayablePhrase(words("say_free"), False),)
    spec = expected.spec
    own: list[SayablePhrase] = []
    if spec.reading is not None:
        own.append(SayablePhrase(words("say_reading"), False))
        if spec.reading.blades:
            own.append(SayablePhrase(words("say_blade"), False))
    if spec.digits:
        own.append(SayablePhrase(words("say_digits"), False))
    if spec.spelling:
        own.append(SayablePhrase(words("say_spelling"), False))
    idle = _idle(at)
    commands = [c for c in spec.commands if c not in (*ANYTIME, *_SIDEWAYS) and c not in idle]
    own += [
        SayablePhrase(taught(at.context, state.awaiting, c)) for c in commands if c not in _BACK
    ]
    if not _on_show(at):
        builders = {p.initials for p in state.people if p.role == "builder"}
        own += [SayablePhrase(short(said)) for value, said in spec.phrases if value not in builders]
    own += [SayablePhrase(taught(at.context, state.awaiting, c)) for c in _BACK if c in commands]
    return tuple(own[:_MOST])


def _on_show(at: Glance) -> bool:
    """Whether the board already shows the names that may be said."""
    if at.state.step is None:
        return False
    step = at.context.procedure.step(at.state.step)
    return kind_of(step).names_on_show(underlying(at.state.awaiting))


def _idle(at: Glance) -> frozenset[str]:
    """Commands that are listened for, but have nothing to take back."""
    awaiting, state = at.state.awaiting, at.state
    if underlying(awaiting) is not awaiting:
        return frozenset()
    idle = frozenset({"correction"})
    if state.step is not None:
        step = at.context.procedure.step(state.step)
        idle = kind_of(step).idle(at, step, awaiting)
    return idle - {"correction"} if state.kept is not None else idle
