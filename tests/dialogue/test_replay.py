"""A session is its journal: any course of events replays to the same state."""

from __future__ import annotations

import random

from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from assistant.dialogue.core import advance
from assistant.dialogue.effects import Record
from assistant.dialogue.events import AnyEvent
from assistant.dialogue.expectation import listening
from assistant.dialogue.facts import DispositionRecorded, StepDone, StepReopened
from assistant.dialogue.kinds import AnyFact
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.tightening.facts import FastenerTightened, TorqueAnnounced
from assistant.dialogue.state import State
from tests.dialogue.kit import Bench, replay
from tests.shipped import shipped

EVENTS: TypeAdapter[AnyEvent] = TypeAdapter(AnyEvent)
FACTS: TypeAdapter[AnyFact] = TypeAdapter(AnyFact)
PROCEDURE = shipped("kb2_input_shaft")


def wander(seed: int, turns: int) -> Bench:
    """Say ``turns`` random things that the grammar of each moment allows."""
    rng = random.Random(seed)
    bench = Bench(PROCEDURE)
    bench.start()
    bench.type("standard")
    bench.say("confirm")
    bench.type("new parts")
    bench.say("confirm")
    for _ in range(turns):
        expected = listening(bench.context, bench.state)
        spec = expected.spec
        if expected.free:
            bench.type("free words")
        elif not (spec.commands or spec.phrases):
            break
        else:
            bench.hear(bench.context.language.sample(spec, rng), rng.choice((0.4, 0.7, 1.0)))
    return bench


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_replaying_stored_events_rebuilds_the_state_and_the_facts(seed: int) -> None:
    bench = wander(seed, 60)
    stored = [EVENTS.dump_json(e) for e in bench.events]
    events = [EVENTS.validate_json(text) for text in stored]
    assert replay(bench.context, events) == bench.state
    state, facts = State(), []
    for event in events:
        state, effects = advance(bench.context, state, event)
        facts += [FACTS.dump_json(e.fact) for e in effects if isinstance(e, Record)]
    assert facts == [FACTS.dump_json(f) for f in bench.facts]
    assert [FACTS.validate_json(f) for f in facts] == bench.facts


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6))
def test_whatever_is_said_the_safety_rules_hold(seed: int) -> None:
    bench = wander(seed, 80)
    announced: set[tuple[str, int]] = set()
    done: set[str] = set()
    released = {
        (f.step, f.position)
        for f in bench.facts
        if isinstance(f, DispositionRecorded) and f.released_by
    }
    for fact in bench.facts:
        match fact:
            case TorqueAnnounced():
                announced.add((fact.step, fact.pass_number))
            case FastenerTightened():
                assert (fact.step, fact.pass_number) in announced
            case ReadingConfirmed():
                inside = fact.judgement.verdict == "in"
                assert inside or (fact.step, fact.position) in released
            case StepReopened():
                done.discard(fact.step)
            case StepDone(how="not_applicable"):
                pass
            case StepDone():
                assert fact.step not in done, "a step was done twice"
                done.add(fact.step)
            case _:
                pass
