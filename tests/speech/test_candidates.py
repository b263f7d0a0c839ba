"""Which texts are compared with the sound: phrases of the grammar, each number once."""

from __future__ import annotations

from collections.abc import Callable

from assistant.speech.candidates import MOST, Candidate, SoundAlikes, candidates
from tests.speech.test_two_listeners import NINETEEN, NINETY, heard


def anything(text: str) -> bool:
    return True


def nothing(text: str) -> list[str]:
    return []


def texts(found: list[Candidate]) -> list[str]:
    return [c.text for c in found]


def test_each_number_is_compared_once_in_the_grammars_words() -> None:
    found = candidates(heard(NINETEEN, NINETY), ["reading 19 newton meters"], nothing, anything)
    assert texts(found) == [NINETEEN, NINETY]
    found = candidates(heard(NINETEEN), ["reading 90 newton meters"], nothing, anything)
    assert found == [Candidate(NINETEEN), Candidate(NINETY)]
    assert candidates(heard(), ["reading 90 newton meters"], nothing, anything) == []


def test_sound_alikes_are_of_the_grammar_and_do_not_lead() -> None:
    near = ["reading nine hundred newton meters", "listening nineteen newton meters"]
    found = candidates(heard(NINETEEN), [], lambda _: near, lambda text: text.startswith("reading"))
    assert found == [Candidate(NINETEEN), Candidate(near[0], written=False)]


def test_there_is_an_end_to_the_sound_alikes() -> None:
    many = [f"reading {n} newton meters" for n in range(200)]
    assert len(candidates(heard(NINETEEN), [], lambda _: many, anything)) == MOST


def test_a_transcript_outside_the_grammar_counts_when_it_has_another_number() -> None:
    best = "reading eleven point two thou"
    only_the_best: Callable[[str], bool] = best.__eq__
    for same in ("reading 11.23", "reading 11.2.5", "reading the thou", "read on 11.2 thou"):
        assert texts(candidates(heard(best), [same], nothing, only_the_best)) == [best]
    for other in ("reading 12.23", "reading 11", "reading 111.2"):
        found = candidates(heard(best), [other], nothing, only_the_best)
        assert found == [Candidate(best), Candidate(other, fits=False)]


def test_sound_alikes_come_from_the_pronouncing_dictionary() -> None:
    """Pronunciations after the CMU dictionary, which the bundled recogniser ships."""
    sounds = {
        "nineteen": (("N", "AY", "N", "T", "IY", "N"),),
        "ninety": (("N", "AY", "N", "T", "IY"),),
        "go": (("G", "OW"),),
    }
    alike = SoundAlikes(sounds)
    assert "reading ninety" in alike.of("reading nineteen", tuple(sounds))
    assert "reading go" not in alike.of("reading nineteen", tuple(sounds))
    assert alike.unlikeness("ninety", "90") == 0.0
    assert alike.unlikeness("go", "ninety") > alike.unlikeness("nineteen", "ninety")
