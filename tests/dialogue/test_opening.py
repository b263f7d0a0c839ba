"""Opening: notice, manual revision, variant and parts condition."""

from __future__ import annotations

from assistant.dialogue.effects import ASKED, Say
from assistant.dialogue.facts import ConditionChosen, ManualChecked, StepDone
from tests.dialogue.kit import Bench, procedure

ACTION = {"id": "wipe", "kind": "action"}


def test_the_maker_and_the_law_come_first() -> None:
    said = Bench(procedure(ACTION)).open()
    assert "manual" in said
    assert "local codes" in said
    assert "licensed practice" in said


def test_a_matching_manual_opens_the_first_step() -> None:
    bench = Bench(procedure(ACTION))
    assert "Step 1 of 1" in bench.start()
    (checked,) = bench.of(ManualChecked)
    assert (checked.spoken, checked.matches) == ("C", True)


def test_another_revision_holds_the_job() -> None:
    bench = Bench(procedure(ACTION))
    bench.open()
    bench.type("bravo")
    said = bench.say("confirm")
    assert "Hold" in said
    assert bench.state.step is None
    assert [c.matches for c in bench.of(ManualChecked)] == [False]
    bench.type("charlie")
    bench.say("confirm")
    assert bench.state.step == "wipe"


def test_a_misheard_revision_is_taken_back() -> None:
    bench = Bench(procedure(ACTION))
    bench.open()
    bench.type("bravo")
    bench.say("wrong")
    assert bench.of(ManualChecked) == []
    bench.type("charlie")
    bench.say("confirm")
    assert bench.state.step == "wipe"


def test_variant_and_parts_are_asked_read_back_and_rule_the_steps() -> None:
    bench = Bench(
        procedure(
            {"id": "long_only", "kind": "action", "when": {"variant": ["long_shaft"]}},
            {"id": "new_only", "kind": "action", "when": {"parts": "new"}},
            {"id": "last", "kind": "action"},
            applicability={"variants": ["standard", "long_shaft"]},
        )
    )
    bench.open()
    assert "standard, or long shaft; new parts, or reused parts" in bench.type("charlie")
    said = bench.type("long shaft reused parts")
    assert "Manual charlie, long shaft, reused parts. Say that is right" in said
    bench.say("wrong")
    assert bench.of(ManualChecked) == []
    assert bench.of(ConditionChosen) == []
    bench.type("charlie")
    assert "Which parts are fitted" in bench.type("standard")  # one after the other will do too
    bench.type("reused parts")
    bench.say("confirm")
    assert [m.matches for m in bench.of(ManualChecked)] == [True]
    assert bench.state.step == "last"
    assert [(c.what, c.value) for c in bench.of(ConditionChosen)] == [
        ("variant", "standard"),
        ("parts", "reused"),
    ]
    assert {d.step for d in bench.of(StepDone) if d.how == "not_applicable"} == {
        "long_only",
        "new_only",
    }


ASKS_BOTH = procedure(
    {"id": "long_only", "kind": "action", "when": {"variant": ["long_shaft"]}},
    {"id": "new_only", "kind": "action", "when": {"parts": "new"}},
    {"id": "last", "kind": "action"},
    applicability={"variants": ["standard", "long_shaft"]},
)


def test_revision_variant_and_parts_may_be_said_in_one_breath() -> None:
    bench = Bench(ASKS_BOTH)
    assert "standard or long shaft" in bench.open()
    said = bench.type("charlie long shaft new parts")
    assert "Manual charlie, long shaft, new parts. Say that is right" in said
    assert bench.of(ManualChecked) == []
    assert bench.of(ConditionChosen) == []
    bench.say("confirm")
    assert [m.matches for m in bench.of(ManualChecked)] == [True]
    assert (bench.state.variant, bench.state.parts) == ("long_shaft", "new")
    assert bench.state.step == "long_only"


def test_the_variant_alone_in_that_breath_leaves_the_parts_to_be_asked() -> None:
    bench = Bench(ASKS_BOTH)
    bench.open()
    assert "Which parts are fitted" in bench.type("charlie long shaft")


def test_what_is_said_with_another_revision_is_dropped_and_the_job_held() -> None:
    bench = Bench(ASKS_BOTH)
    bench.open()
    assert "Manual revision bravo." in bench.type("bravo long shaft new parts")
    assert "Hold" in bench.say("confirm")
    assert bench.of(ConditionChosen) == []
    assert bench.state.variant is None


def test_the_only_variant_and_the_only_condition_are_not_asked_for() -> None:
    bench = Bench(
        procedure(
            {"id": "long_only", "kind": "action", "when": {"variant": ["long_shaft"]}},
            {"id": "new_only", "kind": "action", "when": {"parts": "new"}},
            applicability={"variants": ["long_shaft"], "parts": ["new"]},
        )
    )
    bench.start()
    assert (bench.state.variant, bench.state.parts) == ("long_shaft", "new")
    assert bench.state.step == "long_only"
    bench.say("done")
    assert bench.state.step == "new_only"


def test_what_was_answered_is_owed_until_it_was_heard() -> None:
    bench = Bench(procedure(ACTION, applicability={"variants": ["standard", "long_shaft"]}))
    bench.start()
    bench.type("long shaft")
    line, _ = (e for e in bench.effects if isinstance(e, Say))
    assert (line.tone, line.about) == ("readback", ASKED)
