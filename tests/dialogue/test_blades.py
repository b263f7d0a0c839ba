"""Blades: said as a mechanic says them, taught once, and no surprise where one value is needed."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from assistant.dialogue.kinds.derived.facts import ValueDerived
from assistant.language import Language
from assistant.language.spec import ListenSpec, NumberSpec, Reading
from tests.dialogue.kit import Bench, procedure

SET = [f"{n} thou" for n in range(1, 21)]
FEELERS = {
    "id": "long_set", "kind": "feeler", "name": "long feeler set", "unit": "thou",
    "resolution": "1 thou", "members": SET,
}  # fmt: skip
GAP: dict[str, object] = {
    "id": "gap",
    "kind": "measurement",
    "quantity": "coupling gap",
    "gauge": "long_set",
    "unit": "thou",
    "lower": "2 thou",
    "upper": "12 thou",
}
SECOND = {**GAP, "id": "gap_again"}
TWICE = {
    "id": "twice", "kind": "derived", "quantity": "twice the gap", "unit": "thou",
    "inputs": {"g": "gap"}, "formula": "2 * g", "upper": "30 thou",
}  # fmt: skip
HOW = "Say what each blade does: ten thou goes; eleven thou won't go."
ONE_VALUE = "needs a single value"


def bench(*steps: Mapping[str, object]) -> tuple[Bench, str]:
    """At the first of ``steps``, with what was said there."""
    b = Bench(procedure(*steps, gauges=[FEELERS]))
    return b, b.start()


@pytest.mark.uncounted
@pytest.mark.parametrize("line", ["four thou won't go", "blade four won't go", "four doesn't go"])
def test_wont_go_is_in_the_grammar_that_the_recogniser_hears(line: str) -> None:
    spec = ListenSpec(reading=NumberSpec(("thou",), 1, blades=True))
    language = Language.load("en-US")
    assert "won't" in language.words(spec)
    (meaning,) = language.interpret(spec, line)
    assert isinstance(meaning, Reading)
    assert str(meaning.indication) == "< 4 thou"
    assert all(word in language.pronunciations for word in ("won't", "doesn't"))


def test_blades_are_taught_at_the_first_one_of_a_session() -> None:
    b, said = bench(GAP, SECOND)
    assert HOW in said
    b.type("six thou goes", "seven thou won't go")
    assert HOW not in b.say("go_on")
    assert b.state.step == "gap_again"


def test_what_is_taught_is_understood() -> None:
    b, _ = bench(GAP)
    b.type("ten thou goes")
    assert "Not understood" not in b.type("eleven thou won't go")
    assert set(b.state.values["gap"]) == {""}


def test_six_goes_leads_to_a_blade_in_the_middle_of_what_is_left() -> None:
    b, _ = bench(GAP)
    assert "Try blade nine thou" in b.type("six thou goes")
    assert "In limits" in b.type("nine thou won't go")


def test_one_value_is_asked_for_before_the_first_blade_and_at_it() -> None:
    b, said = bench(GAP, TWICE)
    assert ONE_VALUE in said
    assert "blade that just drags" in said
    assert b.say("help").startswith("Say reading, and the value")
    assert ONE_VALUE in b.type("six thou goes")
    assert ONE_VALUE not in b.type("eight thou goes")
    assert ONE_VALUE in b.type("nine thou won't go")
    b.type("reading 8 thou")
    b.say("go_on")
    (made,) = b.of(ValueDerived)
    assert made.value.to("thou").value == 16


def test_no_value_is_asked_for_where_blades_will_do() -> None:
    b, said = bench(GAP)
    assert ONE_VALUE not in said
    assert ONE_VALUE not in b.type("six thou goes")
