"""What is asked after a rest, after "that is wrong", and by a stand-in builder: in whole sentences.

Most states are asked again in the course of other tests; these are the ones that are not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from assistant.dialogue.answering import answer_state
from assistant.dialogue.effects import Say
from assistant.dialogue.events import Resumed, Revised
from assistant.dialogue.owner import Said
from assistant.dialogue.stand_in import Answers
from assistant.dialogue.states import (
    Blocked,
    Conditions,
    DialogueState,
    Doing,
    GoingBack,
    Manual,
    ManualReadback,
    OpeningReadback,
    PhraseReadback,
    RevisionHeard,
    Skipping,
    Stopping,
)
from assistant.dialogue.turn import Turn
from assistant.language.spec import Command
from assistant.session.stand_in import next_line
from tests.dialogue.kit import GAP, GAUGES, LAST, SHIM_SET, SHIMS, Bench, procedure

HALF = {
    "id": "half", "kind": "derived", "quantity": "half gap", "unit": "thou", "formula": "g / 2",
    "inputs": {"g": "gap"}, "lower": "2 thou", "upper": "10 thou",
}  # fmt: skip
CONDITIONS = {"applicability": {"variants": ["standard", "tandem"], "parts": ["new", "reused"]}}
NEW_ONLY = {"id": "new_only", "kind": "action", "when": {"parts": "new"}}
ANSWERS = Answers(revision="C", inspector="MQ")


def bench(*steps: Mapping[str, object], **more: object) -> Bench:
    return Bench(procedure(*steps, LAST, gauges=[*GAUGES, SHIM_SET], **more))


def lines(b: Bench) -> list[Say]:
    return [e for e in b.effects if isinstance(e, Say)]


def resumed(b: Bench) -> Say:
    """The last line after a rest: its words and its tone."""
    b.feed(Resumed(at=b.at()))
    return lines(b)[-1]


def test_a_rest_before_the_manual_was_checked_asks_for_its_revision_again() -> None:
    b = bench()
    b.open()
    asked = lines(b)[-1]
    assert "revision" in asked.text
    assert resumed(b) == asked
    assert b.awaiting() == Manual()


def test_a_rest_at_the_readback_of_the_revision_reads_it_back_again() -> None:
    b = bench()
    b.open()
    b.type("charlie")
    readback, asked = lines(b)
    assert "charlie" in readback.text
    assert readback.tone == "readback"
    assert resumed(b) == asked
    assert readback in lines(b)
    assert b.awaiting() == ManualReadback("C")


def test_a_rest_at_a_condition_asks_for_it_again() -> None:
    b = bench(NEW_ONLY, **CONDITIONS)
    b.talk = None  # later sessions are asked for both at once
    b.open()
    b.type("charlie")
    b.say("confirm")
    asked = lines(b)[-1]
    assert "standard" in asked.text
    assert resumed(b) == asked
    assert b.awaiting() == Conditions("variant")
    b.type("tandem")
    assert resumed(b) == asked, "what was not confirmed is asked again"
    assert b.awaiting() == Conditions("variant")
    b.type("tandem")
    b.say("confirm")
    asked = lines(b)[-1]
    assert "new" in asked.text
    assert resumed(b) == asked
    assert b.awaiting() == Conditions("parts")


def test_a_rest_between_variant_and_parts_asks_for_the_parts_again() -> None:
    b = bench(NEW_ONLY, **CONDITIONS)
    b.open()
    b.type("charlie")
    asked = lines(b)[-1]
    assert "standard, or tandem; new parts, or reused parts" in asked.text
    assert resumed(b) == asked
    b.type("tandem")
    asked = lines(b)[-1]
    assert resumed(b) == asked
    assert b.awaiting() == Conditions("parts", "C", "tandem")
    b.type("new parts")
    b.feed(Resumed(at=b.at()))
    assert "Manual charlie, tandem, new parts." in [x.text for x in lines(b)]
    assert b.awaiting() == OpeningReadback("C", "tandem", "new")


def test_the_revision_is_said_again_when_stopping_was_not_meant() -> None:
    b = bench()
    b.start()
    revised = Revised(revision="B", sha256="1" * 64, changed=("last",))
    told = b.feed(Resumed(at=b.at(), revised=revised))
    b.say("stop_work")
    b.say("wrong")
    again = lines(b)[-1].text
    assert "One step still to do has changed: last." in again
    assert again in told
    assert b.awaiting() == RevisionHeard(revised, Doing())
    assert next_line(b.context, b.state, ANSWERS) == b.context.language.phrase_for("understood")


def test_the_limits_of_a_computed_value_are_told() -> None:
    b = bench(GAP, HALF)
    b.talk = None  # in later sessions it goes on by itself
    b.start()
    b.type("reading 15 thou")
    b.say("go_on")
    assert b.say("what_limit") == "half gap. The limits are two thou to ten thou."


def test_the_limits_of_what_shims_leave_are_told() -> None:
    b = bench(GAP, SHIMS)
    b.start()
    b.type("reading 15 thou")
    b.say("go_on")
    assert b.say("what_limit") == "end float. The limits are two thou to four thou."


@pytest.mark.parametrize(
    ("at", "line"),
    [
        (
            Blocked(),
            Say(
                "This step cannot be done as things stand. Stop work and put that right, go back, "
                "or skip it with a reason."
            ),
        ),
        (Doing(), Say("That does not fit here. Say step done, or ask: what can i say.", "ask")),
        (
            Stopping(Doing()),
            Say("That does not fit here. Say that is right, or ask: what can i say.", "ask"),
        ),
    ],
)
def test_what_does_not_fit_is_answered(at: DialogueState, line: Say) -> None:
    b = bench()
    b.start()
    turn = Turn(b.context, replace(b.state, awaiting=at), b.at())
    answer_state(turn, Said(Command("accept"), "inspection accepted"))
    assert turn.effects == [line]


@pytest.mark.parametrize(("right", "says"), [(True, "that is right"), (False, "that is wrong")])
def test_the_stand_in_agrees_only_with_what_it_would_say(right: bool, says: str) -> None:
    b = bench()
    b.start()
    would = str(next_line(b.context, b.state, ANSWERS))
    b.state = replace(b.state, awaiting=PhraseReadback("x", would if right else "no", Doing()))
    assert next_line(b.context, b.state, ANSWERS) == says


@pytest.mark.parametrize("at", [Skipping(Doing()), GoingBack("last", Doing()), Stopping(Doing())])
def test_the_stand_in_never_meant_to_leave(at: DialogueState) -> None:
    b = bench()
    b.start()
    b.state = replace(b.state, awaiting=at)
    assert next_line(b.context, b.state, ANSWERS) == "that is wrong"
