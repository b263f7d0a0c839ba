"""A second listener that is still being loaded: nothing is answered without it."""

from __future__ import annotations

from threading import Event

import pytest

from assistant.language.hypothesis import Recognition
from assistant.speech.errors import SpeechError
from assistant.speech.loaded_beside import LoadedBeside
from assistant.speech.two_listeners import SecondListener, TwoListeners
from assistant.speech.types import Engine, Utterance
from tests.speech.test_two_listeners import LANGUAGE, NINETY, SOUND, SPEC, Fixed, heard


def beside(first: Engine, second: SecondListener) -> TwoListeners:
    both = TwoListeners(first, second, "weigh", LANGUAGE.pronunciations)
    both.listen_for(LANGUAGE.jsgf(SPEC), LANGUAGE.words(SPEC))
    return both


def test_the_answer_waits_for_the_model_and_is_the_same() -> None:
    second = Fixed(heard("ninety"), {NINETY: -1.0})
    may_load = Event()

    class First(Fixed):
        def recognise(self, utterance: Utterance) -> Recognition:
            may_load.set()  # not before: what follows has to wait
            return super().recognise(utterance)

    def load() -> SecondListener:
        assert may_load.wait(10)
        return second

    both = beside(First(heard(NINETY)), LoadedBeside("fixed", load))
    assert second.grammar == ""
    late = both.recognise(SOUND)
    assert second.grammar == LANGUAGE.jsgf(SPEC)
    usual = beside(Fixed(heard(NINETY)), Fixed(heard("ninety"), {NINETY: -1.0}))
    assert late == usual.recognise(SOUND)
    assert late.second is not None


def test_the_last_grammar_is_the_one_taken_up() -> None:
    second = Fixed(heard())
    may_load = Event()

    def load() -> SecondListener:
        assert may_load.wait(10)
        return second

    late = LoadedBeside("fixed", load)
    late.listen_for("first", ())
    late.listen_for("second", ())
    may_load.set()
    late.recognise(SOUND)
    assert second.grammar == "second"
    late.listen_for("third", ())
    assert second.grammar == "third"


def test_a_model_that_cannot_be_read_is_told_and_nothing_is_answered_without_it() -> None:
    def load() -> SecondListener:
        raise SpeechError("The model is damaged; fetch it again.")

    late = LoadedBeside("fixed", load)
    both = TwoListeners(Fixed(heard(NINETY)), late)
    with pytest.raises(SpeechError, match="damaged"):
        both.recognise(SOUND)
    with pytest.raises(SpeechError, match="damaged"):
        both.listen_for("any", ())
