"""What a state of the dialogue puts in the middle of the board.

What a step kind awaits for itself is shown by the kind; here is what all steps share, and what
comes before, between and after them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import assert_never

from assistant.board.closing import closed
from assistant.board.kinds import kind_of
from assistant.board.kinds.kind import Glance
from assistant.board.view import Figure, Line, Scene
from assistant.dialogue.conditions import condition_phrases
from assistant.dialogue.states import (
    Acknowledge,
    Blocked,
    ClockAsked,
    ConditionReadback,
    Conditions,
    DialogueState,
    Ended,
    GoingBack,
    Interruption,
    Manual,
    ManualReadback,
    Noting,
    OpeningReadback,
    PhraseReadback,
    PictureOwed,
    RevisionHeard,
    Skipping,
    Stopping,
    underlying,
)
from assistant.dialogue.steps import cautions_of
from assistant.procedure.step import Step
from assistant.shown_text import id_in_words

OutsideSteps = Manual | ManualReadback | Conditions | ConditionReadback | OpeningReadback | Ended


def scene(at: Glance) -> Scene:
    """The scene of a session; an interruption changes the task and leaves the work in sight."""
    awaiting, words = at.state.awaiting, at.words
    if at.state.stopped:
        return closed(at, Scene(words("task_stopped"), "stopped", words("band_stopped")))
    shown = _work(at, underlying(awaiting))
    if not at.state.listening:
        return _paused(at, shown)
    if not isinstance(awaiting, Interruption):
        return shown
    match awaiting:
        case Skipping():
            return replace(shown, task=words("task_skip"))
        case GoingBack(to=to):
            title = at.context.procedure.step(to).title
            warning = Line("", words("task_go_back_what"))
            return replace(shown, task=words("task_go_back", title=title), lines=(warning,))
        case PhraseReadback(words=heard):
            return replace(shown, task=words("task_phrase", words=heard))
        case Noting():
            return replace(shown, task=words("task_note"))
        case Stopping():
            return replace(shown, task=words("task_stop"))
        case ClockAsked():
            return replace(shown, task=words("task_clock"))
        case RevisionHeard():
            shown = shown if shown.alarm else replace(shown, alarm="caution")
            band = shown.band or words("band_revised")
            return replace(shown, task=words("task_revised"), band=band)
        case _:
            assert_never(awaiting)


def _paused(at: Glance, shown: Scene) -> Scene:
    """The work stays in sight; nothing that is said counts."""
    resume = at.context.language.phrase_for("resume_listening")
    shown = replace(shown, task=at.words("task_paused", phrase=resume))
    if shown.alarm:
        return shown  # what is wrong stays on the band; the pause is said across the top
    return replace(shown, alarm="paused", band=at.words("band_paused"))


def _work(at: Glance, awaiting: DialogueState) -> Scene:
    if at.state.step is None:
        return _between_steps(at, awaiting)
    step = at.context.procedure.step(at.state.step)
    if isinstance(awaiting, Acknowledge):
        return _caution(at, step, awaiting.index)
    if isinstance(awaiting, PictureOwed):
        return Scene(at.words("task_picture"), lines=(Line("", step.picture),))
    if isinstance(awaiting, Blocked):
        why = (Line("", awaiting.why),) if awaiting.why else ()
        return Scene(at.words("task_blocked"), "hold", at.words("band_blocked"), why)
    return kind_of(step).scene(at, step, awaiting)


def _between_steps(at: Glance, awaiting: DialogueState) -> Scene:
    words, governing = at.words, at.context.procedure.governing
    if not isinstance(awaiting, OutsideSteps):
        if at.state.waits:
            return Scene(words("task_waiting"))
        return Scene(words("task_waiting"), "hold", words("band_stuck"))
    match awaiting:
        case Manual():
            lines = (Line("", governing.title), Line("", words("label_governs")))
            figure = Figure(words("figure_revision"), awaited=True)
            return Scene(words("task_manual"), lines=lines, figure=figure)
        case ManualReadback(spoken=spoken):
            expected = Line(words("line_expected"), governing.revision)
            figure = Figure(words("figure_revision"), spoken)
            return Scene(words("task_manual_readback"), lines=(expected,), figure=figure)
        case Conditions(what=what):
            options = " / ".join(p for _, p in condition_phrases(at.context, what))
            return Scene(words("task_" + what), lines=(Line(words("line_options"), options),))
        case ConditionReadback(value=value):
            chosen = Figure("", id_in_words(value))
            return Scene(words("task_condition_readback"), figure=chosen)
        case OpeningReadback(manual=manual, variant=variant, parts=parts):
            said = {**dict(condition_phrases(at.context, "variant")),
                    **dict(condition_phrases(at.context, "parts"))}  # fmt: skip
            both = tuple(Line("", said[value]) for value in (variant, parts))
            figure = Figure(words("figure_revision"), manual)
            return Scene(words("task_condition_readback"), lines=both, figure=figure)
        case Ended():
            return closed(at, Scene(words("task_finished"), "finished", words("band_finished")))
        case _:
            assert_never(awaiting)


def _caution(at: Glance, step: Step, index: int) -> Scene:
    texts = cautions_of(step)
    band = (
        at.words("band_caution_count", number=index + 1, total=len(texts))
        if len(texts) > 1
        else at.words("band_caution")
    )
    return Scene(at.words("task_acknowledge"), "caution", band, (Line("", texts[index]),))
