"""Every grammar: one meaning per phrase, known words, accepted by a real recogniser."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from assistant.language import GrammarError
from assistant.language.jsgf_reader import read_jsgf
from assistant.language.network import Network
from assistant.language.spec import ListenSpec, NumberSpec
from tests.language.specs import EN, SPECS


@pytest.mark.uncounted
@pytest.mark.parametrize("name", SPECS)
def test_every_sampled_phrase_has_exactly_one_meaning(name: str) -> None:
    rng = random.Random(name)
    for _ in range(300):
        phrase = EN.sample(SPECS[name], rng)
        meanings = EN.interpret(SPECS[name], phrase)
        assert len(meanings) == 1, phrase


@pytest.mark.uncounted  # enumerates; counting lines would take longer than the test
@pytest.mark.parametrize("name", SPECS)
def test_every_short_phrase_has_exactly_one_meaning(name: str) -> None:
    count = 0
    for phrase in EN.enumerate(SPECS[name], 4):
        if count >= 4000:
            break
        count += 1
        assert len(EN.interpret(SPECS[name], phrase)) == 1, phrase
    assert count > 20


@pytest.mark.uncounted
@pytest.mark.parametrize("name", SPECS)
def test_every_word_can_be_pronounced(name: str) -> None:
    assert [w for w in EN.words(SPECS[name]) if w not in EN.pronunciations] == []


@pytest.mark.uncounted
@pytest.mark.parametrize("name", SPECS)
def test_written_jsgf_reads_back_to_the_same_language(name: str) -> None:
    network = Network(read_jsgf(EN.jsgf(SPECS[name])), "utterance")
    rng = random.Random(name)
    for _ in range(100):
        assert network.match(EN.sample(SPECS[name], rng).split())
        assert EN.interpret(SPECS[name], " ".join(network.sample(rng)))


@pytest.mark.uncounted
def test_pocketsphinx_takes_every_grammar() -> None:
    # A real JSGF reader that is not ours: PocketSphinx 5.1, BSD licence.
    pocketsphinx = pytest.importorskip("pocketsphinx")  # no wheel for Windows and Python 3.14
    decoder = pocketsphinx.Decoder(samprate=16000, lm=None, loglevel="FATAL")
    for word, (first, *_) in EN.lexicon.items():
        if decoder.lookup_word(word) is None:
            decoder.add_word(word, " ".join(first), False)
    for name, spec in SPECS.items():
        assert all(decoder.lookup_word(word) for word in EN.words(spec))
        decoder.add_jsgf_string(name, EN.jsgf(spec))
        decoder.activate_search(name)


def test_an_unknown_command_is_told_by_name() -> None:
    with pytest.raises(GrammarError, match=r"'fly'.*commands\.yaml"):
        EN.jsgf(ListenSpec(commands=("fly",)))


def test_units_of_another_dimension_are_left_out() -> None:
    spec = ListenSpec(reading=NumberSpec(("thou", "N*m"), 1))
    assert "newton" not in EN.words(spec)


def test_the_grammar_is_narrow() -> None:
    dial = EN.words(SPECS["dial"])
    assert "tenths" in dial
    assert "tenths" not in EN.words(ListenSpec(reading=NumberSpec(("mm", "tenth"), 0)))
    assert "minus" not in dial
    assert "blade" not in dial
    assert "thousand" not in EN.words(
        ListenSpec(reading=NumberSpec(("thou",), 1, None, Fraction(40)))
    )
    assert "hundred" in EN.words(ListenSpec(reading=NumberSpec(("thou",), 1, None, Fraction(40))))
    assert EN.interpret(SPECS["dial"], "one point five thou") == ()


def test_a_bad_reading_ten_times_over_the_range_is_still_heard() -> None:
    spec = ListenSpec(reading=NumberSpec(("thou",), 1, None, Fraction(4)))
    assert EN.interpret(spec, "reading forty thou")
