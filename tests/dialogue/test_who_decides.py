"""Who may accept and release: another person than the builder, whatever the initials."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from assistant.dialogue.events import Person
from assistant.dialogue.facts import DispositionRecorded
from assistant.dialogue.kinds.inspection import Inspected
from tests.dialogue.kit import Bench, procedure

HOLD: dict[str, object] = {"id": "look", "kind": "inspection", "criteria": "The seal sits flat."}
GAP: dict[str, object] = {
    "id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
    "lower": "5 thou", "upper": "30 thou",
}  # fmt: skip
WIPE: dict[str, object] = {"id": "wipe", "kind": "action"}
OTTO = Person(name="Otto Brandwick", initials="OB", role="builder")
OLGA = Person(name="Olga Berg", initials="OB", role="inspector")
AGAIN = Person(name="otto brandwick", initials="OX", role="inspector")


def bench(people: tuple[Person, ...], *steps: Mapping[str, object]) -> Bench:
    """At the first step, with these people at the bench."""
    b = Bench(procedure(*steps))
    b.open(people)
    b.type("charlie")
    b.say("confirm")
    return b


@pytest.mark.parametrize("people", [(OTTO, OLGA), (OLGA, OTTO)])
def test_shared_initials_name_the_builder_who_may_not_accept(people: tuple[Person, ...]) -> None:
    b = bench(people, HOLD)
    assert "is the builder" in b.type("inspector oscar bravo")
    b.say("accept")
    assert b.of(Inspected) == []


@pytest.mark.parametrize("people", [(OTTO, OLGA), (OLGA, OTTO), (OTTO, AGAIN), (AGAIN, OTTO)])
def test_nor_release(people: tuple[Person, ...]) -> None:
    b = bench(people, GAP)
    b.type("reading 31 thou")
    b.say("disposition_use_as_is")
    called = "inspector oscar x-ray" if AGAIN in people else "inspector oscar bravo"
    assert "is the builder" in b.type("worn", called)
    b.say("accept")
    assert [d.released_by for d in b.of(DispositionRecorded)] == [None]


def test_longer_initials_are_told_where_the_inspector_is_asked() -> None:
    people = (
        Person(name="Otto Brandwick", initials="OBR", role="builder"),
        Person(name="Olga Berg", initials="OBE", role="inspector"),
    )
    b = bench(people, WIPE, HOLD)
    assert "Olga Berg says inspector oscar bravo echo." in b.say("done")
    assert "is the builder" in b.type("inspector oscar bravo romeo")
    b.type("inspector oscar bravo echo")
    b.say("accept")
    assert [i.person for i in b.of(Inspected)] == ["Olga Berg"]


def test_the_inspector_hears_exceptions_first_and_how_much_is_done() -> None:
    b = bench((OTTO, Person(name="Marta Quill", initials="MQ", role="inspector")), WIPE, GAP, HOLD)
    b.say("done")
    b.type("reading 6 thou")
    b.say("go_on")
    said = b.type("inspector mike quebec")
    exceptions, done = said.index("No exceptions so far."), said.index("2 steps done.")
    assert exceptions < done < said.index("One reading.") < said.index("Marta Quill")
