"""A procedure that was revised while the job rested, and dispositions that were not released."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.dialogue.events import Resumed, Revised, TimerElapsed
from assistant.dialogue.facts import DispositionDropped, RevisionNoticed, StepReopened, WaitStarted
from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.kinds.wait import WaitOffered
from assistant.dialogue.revising import revision_of
from assistant.dialogue.states import Doing, GoingBack, OutOfLimit, RevisionHeard, Waiting
from tests.dialogue.kit import Bench, procedure, replay

A = {"id": "first", "kind": "action"}
B = {"id": "second", "kind": "action"}
C = {"id": "third", "kind": "action"}
FLOAT = {
    "id": "float", "kind": "measurement", "quantity": "float", "unit": "thou", "gauge": "dial",
    "lower": "1.5 thou", "upper": "4 thou",
}  # fmt: skip
HALF = {
    "id": "half", "kind": "derived", "quantity": "half", "unit": "thou", "formula": "f / 2",
    "inputs": {"f": "float"}, "upper": "1 thou",
}  # fmt: skip


def started(*steps: Mapping[str, object]) -> Bench:
    b = Bench(procedure(*steps))
    b.start()
    return b


def changed(*ids: str, sha: str = "1" * 64) -> Revised:
    return Revised(revision="B", sha256=sha, changed=ids)


def test_the_steps_that_changed_are_compared_by_their_content() -> None:
    before = procedure(A, B, C)
    after = procedure({**A, "say": "Do it twice."}, C, {"id": "fourth", "kind": "action"})
    found = revision_of(before, after.model_copy(update={"revision": "B"}), "2" * 64)
    assert (found.changed, found.removed, found.added) == (("first",), ("second",), ("fourth",))
    assert found.head  # the revision itself


def test_work_goes_on_only_after_the_revision_is_acknowledged() -> None:
    b = started(A, B, C)
    b.say("done")
    said = b.feed(Resumed(at=b.at(), revised=changed("first", "third")))
    assert "One step done already has changed: first." in said
    assert "One step still to do has changed: third." in said
    assert isinstance(b.awaiting(), RevisionHeard)
    assert "go_on" not in b.expected()
    assert "done" not in b.expected()
    assert "second" not in b.state.outcomes
    b.say("done")
    assert b.of(RevisionNoticed) == []
    b.say("understood")
    (fact,) = b.of(RevisionNoticed)
    assert (fact.revision, fact.done, fact.ahead) == ("B", ("first",), ("third",))
    assert b.awaiting() == Doing()
    assert replay(b.context, b.events) == b.state


def test_the_same_revision_is_told_once_and_another_one_again() -> None:
    b = started(A, B)
    b.feed(Resumed(at=b.at(), revised=changed("second")))
    b.feed(Resumed(at=b.at(), revised=changed("second")))  # power failed before it was answered
    assert isinstance(b.awaiting(), RevisionHeard)
    b.say("understood")
    b.feed(Resumed(at=b.at(), revised=changed("second")))
    assert b.awaiting() == Doing()
    b.feed(Resumed(at=b.at(), revised=changed("second", sha="3" * 64)))
    assert isinstance(b.awaiting(), RevisionHeard)


def test_many_changed_steps_are_counted_and_only_the_first_named() -> None:
    many = [{"id": f"s{n}", "kind": "action", "title": f"Step {n}"} for n in range(9)]
    b = started(*many)
    said = b.feed(Resumed(at=b.at(), revised=changed(*(f"s{n}" for n in range(9)))))
    assert "9 steps still to do have changed: Step 0, Step 1, Step 2, and 6 more" in said


def refused(b: Bench, word: str) -> None:
    b.type("reading 4.6 thou")
    b.say("disposition_use_as_is")
    b.type("worn", "inspector mike quebec")
    b.say(word)


def test_who_refused_a_release_is_recorded() -> None:
    b = started(FLOAT, A)
    refused(b, "refuse")
    (fact,) = b.of(DispositionDropped)
    assert (fact.how, fact.person, fact.disposition) == ("refused", "Marta Quill", "use_as_is")
    assert b.awaiting() == OutOfLimit(0)


def test_a_disposition_thought_better_of_is_recorded_as_taken_back() -> None:
    b = started(FLOAT, A)
    refused(b, "correction")
    (fact,) = b.of(DispositionDropped)
    assert (fact.how, fact.person) == ("taken_back", "")


def released(b: Bench, disposition: str) -> None:
    b.say("disposition_" + disposition)
    b.type("worn", "inspector mike quebec")
    b.say("accept")


def test_after_rework_a_computed_value_is_measured_anew() -> None:
    b = started(FLOAT, HALF, A)
    b.type("reading 3 thou")
    b.say("go_on")
    assert b.awaiting() == OutOfLimit(0)
    released(b, "rework")
    assert (b.state.step, b.awaiting()) == ("float", Measuring(0))
    assert [r.step for r in b.of(StepReopened)] == ["half", "float"]
    b.type("reading 1.8 thou")
    b.say("go_on")
    assert [str(v.value) for v in b.of(ValueDerived)] == ["1.5 thou", "0.9 thou"]
    assert len(b.of(ReadingConfirmed)) == 2


def test_after_a_part_is_replaced_the_measuring_behind_two_formulas_is_found() -> None:
    quarter = {**HALF, "id": "quarter", "inputs": {"f": "half"}, "upper": "0.6 thou"}
    b = started(FLOAT, {**HALF, "upper": "4 thou"}, quarter, A)
    b.type("reading 3 thou")
    b.say("go_on", "go_on")
    assert (b.state.step, b.awaiting()) == ("quarter", OutOfLimit(0))
    released(b, "replace")
    assert (b.state.step, b.awaiting()) == ("float", Measuring(0))


def test_other_work_in_between_is_not_voided_without_asking() -> None:
    b = started(FLOAT, B, HALF, A)
    b.type("reading 3 thou")
    b.say("go_on", "done")
    released(b, "rework")
    assert isinstance(b.awaiting(), GoingBack)
    b.say("wrong")
    # still held: the value that was computed is not that of the part as it is now
    assert b.awaiting() == OutOfLimit(0)


def test_use_as_is_of_a_computed_value_goes_on_with_it() -> None:
    b = started(FLOAT, HALF, A)
    b.type("reading 3 thou")
    b.say("go_on")
    released(b, "use_as_is")
    b.say("go_on")
    assert b.state.step == "first"


def waiting() -> Bench:
    cure = {"id": "cure", "kind": "wait", "duration": "10 min"}
    b = started(A, cure, B)
    b.say("done", "go_on")
    assert b.awaiting() == Waiting()
    return b


def test_a_wait_can_be_gone_back_from_after_asking() -> None:
    b = waiting()
    assert "go_back" in b.expected()
    assert "cure" in b.say("go_back")
    b.say("wrong")
    assert b.awaiting() == Waiting()
    assert "cure" in b.state.waits
    b.say("go_back", "confirm")
    assert (b.state.step, b.awaiting()) == ("cure", WaitOffered())
    assert b.state.waits == {}


def test_the_timer_of_a_wait_that_was_taken_back_does_not_end_the_new_one() -> None:
    b = waiting()
    (old,) = b.of(WaitStarted)
    b.say("go_back", "confirm", "go_on")
    b.feed(TimerElapsed(at=old.until, step="cure"))
    assert b.awaiting() == Waiting()
    new = b.of(WaitStarted)[1]
    b.feed(TimerElapsed(at=new.until, step="cure"))
    assert b.state.step == "second"


def test_a_step_that_is_gone_and_one_that_is_new_are_told_by_their_titles() -> None:
    b = started(A, B, C)
    revised = Revised(revision="B", sha256="1" * 64, removed=("second",), added=("Wipe it",))
    said = b.feed(Resumed(at=b.at(), revised=revised))
    assert "One step was taken out: second." in said
    assert "One step is new: Wipe it." in said
