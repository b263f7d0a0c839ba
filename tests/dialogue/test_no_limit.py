"""A value without limits is never called good: it is read back, kept, and nothing judges it."""

from __future__ import annotations

import json

from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.dialogue.kinds.measurement.facts import ReadingConfirmed
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.states import Review
from tests.dialogue.kit import GAUGES, LAST, Bench, procedure

GAP = {"id": "gap", "kind": "measurement", "quantity": "gap", "unit": "thou", "gauge": "dial",
       "plausible_low": "0 thou", "plausible_high": "100 thou"}  # fmt: skip
TWICE = {"id": "twice", "kind": "derived", "quantity": "twice", "unit": "thou",
         "formula": "g * 2", "inputs": {"g": "gap"}}  # fmt: skip


def test_it_is_said_and_recorded_that_there_is_no_limit() -> None:
    b = Bench(procedure(GAP, TWICE, LAST))
    b.start()
    said = b.type("reading 12 thou")
    assert "No limit is given" in said
    assert "In limits" not in said
    assert b.awaiting() == Review()
    said = b.say("go_on")
    assert "twenty four" in said
    assert "No limit is given" in said
    assert "In limits" not in said
    (kept,), (computed,) = b.of(ReadingConfirmed), b.of(ValueDerived)
    assert kept.judgement.verdict == computed.judgement.verdict == "no_limit"
    assert b.state.step == "last"


def test_a_single_blade_is_a_whole_reading_where_nothing_is_to_be_decided() -> None:
    feel = {**GAP, "gauge": "feelers"}
    b = Bench(procedure(feel, LAST, gauges=GAUGES))
    b.start()
    assert "No limit is given" in b.type("blade 3 goes")
    assert not isinstance(b.awaiting(), Measuring)


def test_a_condition_on_a_value_without_limits_takes_it_as_passed() -> None:
    only = {"id": "only", "kind": "action", "when": {"reading": {"gap": "in"}}}
    b = Bench(procedure(GAP, only, LAST))
    b.start()
    b.type("reading 12 thou")
    b.say("go_on")
    assert b.state.step == "only"


def test_it_is_no_limit_in_every_form_of_the_record() -> None:
    from assistant.board.words import load_words
    from assistant.cli.record_screen import shown
    from assistant.cli.screen import describe
    from assistant.report.export import to_csv, to_json
    from assistant.report.html import to_html
    from tests.report.test_from_dialogue import KeptBench

    b = KeptBench(procedure(GAP, LAST))
    b.start()
    b.type("reading 12 thou")
    b.say("go_on")
    record = b.record()
    (line,) = json.loads(to_json(record))["readings"]
    assert line["judgement"] == {"verdict": "no_limit", "margin": None, "side": None}
    assert ",no_limit," in to_csv(record)
    assert 'data-label="Verdict">no limit' in "".join(to_html(record).split("\n"))
    assert "no limit" in shown(record)
    assert "in limits" not in describe(b.of(ReadingConfirmed)[0])
    for tag in ("en-US", "ko-KR"):
        words = load_words(tag)
        assert words("verdict_no_limit") != words("verdict_in")
