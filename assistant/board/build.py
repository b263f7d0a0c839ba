"""The board's view as a pure function of what the session holds."""

from __future__ import annotations

from assistant.board.kinds import kind_of
from assistant.board.kinds.kind import Glance
from assistant.board.recorded import recorded_text
from assistant.board.scene import scene
from assistant.board.view import BoardView, Snapshot, Spoken, StepHead, Wait
from assistant.board.words import BoardWords
from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.context import Context
from assistant.dialogue.expectation import listening
from assistant.dialogue.order import applies, remaining
from assistant.dialogue.state import State, underlying

_PHRASES = 6  # more cannot be taken in at a glance; "help" says them all
_FOLLOWING = 2
_SAID = 4
_SIDEWAYS = ("go_back", "skip")


def build_view(
    context: Context, snapshot: Snapshot, words: BoardWords, demo: bool = False
) -> BoardView:
    """What the board shows for ``snapshot`` of a session with ``context``."""
    state = snapshot.state
    at = Glance(context, state, words)
    step = context.procedure.step(state.step) if state.step is not None else None
    kind = kind_of(step) if step is not None else None
    awaiting = underlying(state.awaiting)
    shown = scene(at)
    return BoardView(
        procedure=context.procedure.title,
        job=state.job,
        step=_head(context, state, words),
        alarm=shown.alarm,
        band=shown.band,
        task=shown.task,
        lines=shown.lines,
        figure=shown.figure,
        limits=kind.limits(at, step) if kind is not None else (),
        rows=kind.rows(at, step, awaiting) if kind is not None else (),
        fasteners=kind.fasteners(at, step, awaiting) if kind is not None else None,
        say=_phrases(context, state, words),
        heard=snapshot.heard,
        said=tuple(Spoken(s.text, s.tone) for s in snapshot.said[-_SAID:]),
        recorded=recorded_text(snapshot.facts, words),
        following=_following(context, state, words),
        waits=tuple(
            Wait(context.procedure.step(s).title, until) for s, until in state.waits.items()
        ),
        notices=_notices(state, words),
        left_open=_left_open(state, words),
        demo=words("demo") if demo else "",
    )


def _head(context: Context, state: State, words: BoardWords) -> StepHead | None:
    if state.step is None:
        return None
    step = context.procedure.step(state.step)
    place = context.procedure.steps.index(step) + 1
    return StepHead(place, len(context.procedure.steps), step.title, words("kind_" + step.kind))


def _phrases(context: Context, state: State, words: BoardWords) -> tuple[str, ...]:
    expected = listening(context, state)
    if expected.free:
        return (words("say_free"),)
    spec = expected.spec
    own: list[str] = []
    if spec.reading is not None:
        own.append(words("say_reading"))
    if spec.digits:
        own.append(words("say_digits"))
    if spec.spelling:
        own.append(words("say_spelling"))
    commands = [c for c in spec.commands if c not in ANYTIME and c not in _SIDEWAYS]
    own += [context.language.phrase_for(c) for c in commands]
    awaiting = underlying(state.awaiting)
    step = context.procedure.step(state.step) if state.step is not None else None
    if step is None or not kind_of(step).names_on_show(awaiting):
        builders = {p.initials for p in state.people if p.role == "builder"}
        own += [phrase for value, phrase in spec.phrases if value not in builders]
    return tuple(own[:_PHRASES])


def _following(context: Context, state: State, words: BoardWords) -> tuple[str, ...]:
    """The steps to come; one that hangs on an answer still open says so."""
    rest = [s for s in remaining(context.procedure, state) if s.id != state.step]
    return tuple(
        s.title if applies(s, state) else words("following_maybe", title=s.title)
        for s in rest[:_FOLLOWING]
    )


def _notices(state: State, words: BoardWords) -> tuple[str, ...]:
    """What keeps the builder from being heard or the work from being recorded."""
    paused = () if state.listening else (words("notice_paused"),)
    return paused + tuple(words("notice_" + part) for part in sorted(state.broken))


def _left_open(state: State, words: BoardWords) -> str:
    skipped = sum(1 for how in state.outcomes.values() if how == "skipped")
    if not skipped and not state.dispositions:
        return ""
    return words("left_open", skipped=skipped, dispositions=state.dispositions)
