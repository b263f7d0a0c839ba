"""Speech that was cut short: what may cut it, and why nothing cut short counts as said.

A caution, a torque or a readback that was not said to its end gave the builder no chance to
notice. So whatever would move the work on first brings the cut lines back; only then is it asked
for again. What stops, repeats or takes back is carried out at once. A cut line stays owed until the
dialogue has decided what those words took back: only the readback of that very thing is dropped.
"""

from __future__ import annotations

from assistant.dialogue.commands import ANYTIME
from assistant.dialogue.context import Context
from assistant.dialogue.effects import ASKED, Say
from assistant.dialogue.events import SpeechCut
from assistant.dialogue.expectation import Expectation, listening
from assistant.dialogue.state import State
from assistant.dialogue.states import (
    DialogueState,
    Doing,
    GoingBack,
    Noting,
    OutOfLimit,
    Review,
    Skipping,
    Stopping,
)
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command, ListenSpec, Meaning, Reading

_CUTS = (
    "stop_work", "pause_listening", "repeat", "wrong", "correction",
    "slower", "faster", "louder", "quieter",
)  # fmt: skip
_CUTS_A_DESCRIPTION = ("go_on", "done")
_TAKES_BACK = ("wrong", "correction", "remeasure")
WEIGHTY = ("caution", "readback")
"""Tones of lines that give the builder the chance to notice; torques are said as cautions."""


def may_cut(context: Context, state: State, texts: tuple[str, ...]) -> Expectation:
    """What may interrupt the lines ``texts``, which are being said in ``state``.

    Nothing that is in them: the assistant must not take its own words for the builder's.
    """
    expected = listening(context, state)
    wanted = _CUTS + (_CUTS_A_DESCRIPTION if isinstance(state.awaiting, Doing) else ())
    said = " " + " ".join(" ".join(texts).lower().replace(".", " ").replace(",", " ").split()) + " "
    commands = tuple(
        c for c in wanted
        if c in expected.spec.commands
        and not any(f" {p} " in said for p in context.language.phrases_for(c))
    )  # fmt: skip
    return Expectation(ListenSpec(commands=commands))


def cut(turn: Turn, event: SpeechCut) -> None:
    """Remember what was not said, except answers to side questions."""
    lines = tuple(Say(u.text, u.tone, u.about, u.sound) for u in event.unsaid)
    kept = tuple(x for x in lines if x.tone != "plain" or x.text in turn.state.last_said)
    turn.put(unsaid=turn.state.unsaid + tuple(x for x in kept if x not in turn.state.unsaid))
    turn.aside = True


def held_back(turn: Turn, meaning: Meaning) -> bool:
    """Say the cut lines first where ``meaning`` would move the work on; returns whether it did."""
    unsaid = turn.state.unsaid
    if not unsaid or isinstance(turn.state.awaiting, Stopping):
        return False
    command = meaning.id if isinstance(meaning, Command) else ""
    if command in _TAKES_BACK or _replaces(turn.state.awaiting, meaning):
        return False
    if command in ANYTIME or command == "resume_listening":
        return False
    known = command in _CUTS_A_DESCRIPTION and isinstance(turn.state.awaiting, Doing)
    if not any(x.tone in WEIGHTY for x in unsaid) and (known or not command):
        # A description that the builder knows may be cut; a value is read back in any case.
        turn.put(unsaid=())
        return False
    for line in unsaid:
        turn.say_text(line.text, line.tone, line.about, line.sound)
    turn.aside = True
    return True


def _replaces(awaiting: DialogueState, meaning: Meaning) -> bool:
    """Whether a new reading is said where one was read back: it takes the old one back."""
    return isinstance(meaning, Reading) and isinstance(awaiting, Review | OutOfLimit)


def taken_back(turn: Turn, meaning: Meaning, before: DialogueState) -> None:
    """``meaning`` was carried out at ``before``: drop the question and the readback it took back.

    The readback of a value is dropped where the value is.
    """
    words = isinstance(meaning, Command) and meaning.id in _TAKES_BACK
    if not turn.state.unsaid or not (words or _replaces(before, meaning)):
        return
    if isinstance(before, Stopping | GoingBack | Skipping | Noting):
        return  # what was taken back is the question, not what was asked before it
    if turn.state.awaiting != before:
        turn.not_owed(ASKED)  # else nothing was: the answer still stands, and is owed
    # Lines stored before they told what they are about were all dropped here.
    old = tuple(x for x in turn.state.unsaid if x.tone == "readback" and not x.about)
    gone = (*old, *(x for x in turn.state.unsaid if x.tone == "ask"))
    turn.put(unsaid=tuple(x for x in turn.state.unsaid if x not in gone))
