"""The board's view as a pure function of what the session holds."""

from __future__ import annotations

from dataclasses import replace

from assistant.board.hearing import last_heard
from assistant.board.kinds import kind_of
from assistant.board.kinds.kind import Glance
from assistant.board.plain import TITLE, all_plain, short
from assistant.board.recorded import recorded_text
from assistant.board.saying import phrases
from assistant.board.scene import scene
from assistant.board.view import Alarm, BoardView, Figure, Snapshot, SpokenSentence, StepHead, Wait
from assistant.board.words import BoardWords
from assistant.dialogue.context import Context
from assistant.dialogue.order import applies, count_of, place_of, remaining
from assistant.dialogue.state import State
from assistant.dialogue.states import underlying

_FOLLOWING = 2
_SAID = 4


def build_view(
    context: Context, snapshot: Snapshot, words: BoardWords, demo: bool = False
) -> BoardView:
    """What the board shows for ``snapshot`` of a session with ``context``.

    Whatever others wrote into it (titles, names, words heard) is plain text that turns nothing
    around and fits.
    """
    state = snapshot.state
    at = Glance(context, state, words)
    step = context.procedure.step(state.step) if state.step is not None else None
    kind = kind_of(step) if step is not None else None
    awaiting = underlying(state.awaiting)
    shown = scene(at)
    view = BoardView(
        procedure=short(context.procedure.title, TITLE),
        job=short(state.job),
        step=_head(context, state, words),
        alarm=shown.alarm,
        band=shown.band,
        task=short(shown.task, TITLE),
        lines=shown.lines,
        figure=_labelled(shown.figure),
        limits=kind.limits(at, step) if kind is not None else (),
        rows=kind.rows(at, step, awaiting) if kind is not None else (),
        fasteners=kind.fasteners(at, step, awaiting) if kind is not None else None,
        say=phrases(at),
        heard=last_heard(at, snapshot.heard),
        said=tuple(SpokenSentence(s.whole, s.tone) for s in snapshot.said[-_SAID:]),
        recorded=recorded_text(snapshot.facts, words),
        following=_following(context, state, words),
        waits=tuple(
            Wait(short(context.procedure.step(s).title), until) for s, until in state.waits.items()
        ),
        notices=_notices(state, words, shown.alarm),
        left_open=_left_open(state, words),
        demo=words("demo") if demo else "",
    )
    return all_plain(view)


def _labelled(figure: Figure | None) -> Figure | None:
    return None if figure is None else replace(figure, label=short(figure.label))


def _head(context: Context, state: State, words: BoardWords) -> StepHead | None:
    if state.step is None:
        return None
    step = context.procedure.step(state.step)
    place, count = place_of(context.procedure, state, step), count_of(context.procedure, state)
    return StepHead(place, count, short(step.title, TITLE), words("kind_" + step.kind))


def _following(context: Context, state: State, words: BoardWords) -> tuple[str, ...]:
    """The steps to come; one that hangs on an answer still open says so."""
    rest = [s for s in remaining(context.procedure, state) if s.id != state.step]
    return tuple(
        short(s.title)
        if applies(s, state, context.procedure)
        else words("following_maybe", title=short(s.title))
        for s in rest[:_FOLLOWING]
    )


def _notices(state: State, words: BoardWords, alarm: Alarm) -> tuple[str, ...]:
    """What keeps the builder from being heard or the work from being recorded.

    A pause is said here where the band has something else to say.
    """
    paused = () if state.listening or alarm == "paused" else (words("notice_paused"),)
    return paused + tuple(words("notice_" + part) for part in sorted(state.broken))


def _left_open(state: State, words: BoardWords) -> str:
    skipped = sum(1 for how in state.outcomes.values() if how == "skipped")
    return ", ".join(
        words(key, count=count)
        for key, count in (("left_skipped", skipped), ("left_deviations", state.dispositions))
        if count
    )
