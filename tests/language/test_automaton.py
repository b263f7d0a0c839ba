"""The automaton of a grammar allows what the grammar allows, and is as small as can be."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.language import Language
from assistant.language.automaton import Automaton, automaton, automaton_of
from assistant.language.jsgf_reader import read_jsgf
from assistant.language.network import Network
from assistant.language.spec import ListenSpec, NumberSpec
from assistant.language.tree import GrammarError
from tests.language.whole_phrases import accepts

DEBIAN = Path("/usr/share/pocketsphinx/test/data")
HEAD = "#JSGF V1.0; grammar g; public <g> = "


def of(body: str) -> Automaton:
    return automaton_of(f"{HEAD}{body};")


@st.composite
def bodies(draw: st.DrawFn, depth: int = 3) -> str:
    """The right side of a JSGF rule."""
    kind = draw(st.sampled_from(("word", "word", "series", "choice", "option", "repeat")))
    if depth == 0 or kind == "word":
        return draw(st.sampled_from("abc"))
    inner = bodies(depth=depth - 1)
    if kind == "option":
        return f"{draw(st.sampled_from('abc'))} [{draw(inner)}]"
    if kind == "repeat":
        return f"({draw(inner)})+"
    parts = draw(st.lists(inner, min_size=2, max_size=3))
    return "(" + (" " if kind == "series" else " | ").join(parts) + ")"


@given(bodies())
def test_it_accepts_exactly_the_phrases_of_the_grammar(body: str) -> None:
    network = Network(read_jsgf(f"{HEAD}{body};"), "g")
    phrases = set(network.enumerate(4))
    machine = automaton(network)
    tried: list[tuple[str, ...]] = [()]
    for _ in range(4):
        tried = [(*t, w) for t in tried for w in "abc"] + [()]
        assert {t for t in tried if accepts(machine, t)} <= phrases
    assert all(accepts(machine, phrase) for phrase in phrases)


@given(bodies())
def test_no_two_states_have_the_same_future(body: str) -> None:
    # Myhill and Nerode: in the minimal automaton some word string tells any two states apart.
    machine = of(body)
    block = [int(state in machine.finals) for state in range(len(machine.onward))]
    for _ in machine.onward:
        marks = [
            (block[s], tuple(sorted((w, block[to]) for w, to in on.items())))
            for s, on in enumerate(machine.onward)
        ]
        numbers = {mark: n for n, mark in enumerate(dict.fromkeys(marks))}
        block = [numbers[mark] for mark in marks]
    assert len(set(block)) == len(machine.onward)


@given(st.integers(0, 10_000))
def test_samples_of_a_session_state_are_accepted(seed: int) -> None:
    language = Language.load("en-US")
    spec = ListenSpec(("confirm", "wrong", "go_on"), digits=True)
    machine = automaton_of(language.jsgf(spec))
    words = language.sample(spec, random.Random(seed)).split()
    assert accepts(machine, words)


def test_it_knows_where_a_phrase_is_whole_and_where_it_goes_on() -> None:
    machine = of("go on | stop (work [now])")
    on, work = machine.after(("go", "on")), machine.after(("stop", "work"))
    assert machine.after(("go",)) not in machine.finals
    assert on in machine.finals
    assert not machine.goes_on(on)
    assert work in machine.finals
    assert machine.goes_on(work)
    assert machine.after(("work",)) is None


@pytest.mark.parametrize("text", ["hello", "#JSGF V1.0; grammar g; <g> = a;", f"{HEAD}<VOID>;"])
def test_a_grammar_without_phrases_is_refused(text: str) -> None:
    with pytest.raises(GrammarError):
        automaton_of(text)


def test_the_phrases_of_a_grammar_are_those_that_the_language_understands() -> None:
    language = Language.load("en-US")
    spec = ListenSpec(("go_on", "go_back"), NumberSpec(("thou", "in"), max_decimals=1))
    machine = automaton_of(language.jsgf(spec))
    for text in ("go on", "reading one point five thou", "reading half a thou"):
        assert accepts(machine, text.split())
        assert language.interpret(spec, text)
    for text in ("go", "reading one point five newton meters", "once more", ""):
        assert not accepts(machine, text.split())


@pytest.mark.skipif(not DEBIAN.is_dir(), reason="Debian's pocketsphinx-testdata is not installed")
@pytest.mark.parametrize(
    ("name", "phrase"),
    [("cards/cards.gram", "ace of clubs"), ("goforward.gram", "go forward ten meters")],
)
def test_grammars_that_others_wrote_are_read(name: str, phrase: str) -> None:
    """Two grammar files of Debian's pocketsphinx-testdata, one with its header in small letters."""
    machine = automaton_of((DEBIAN / name).read_text(encoding="utf-8"))
    assert accepts(machine, phrase.split())
