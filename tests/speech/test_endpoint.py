"""Cutting audio into utterances, on a person's recordings with silence of known length between.

Source of the recordings: Debian package pocketsphinx-testdata.
"""

from __future__ import annotations

import numpy as np
import pytest

from assistant.audio.synthesis.noises import NOISES, as_samples
from assistant.speech.endpoint import EndpointSettings, heard_or_quiet, utterances
from assistant.speech.types import SAMPLE_RATE, Samples
from tests.speech.recordings import sound

pytestmark = pytest.mark.audio


def quiet(seconds: float) -> Samples:
    rng = np.random.default_rng(7)
    return rng.normal(0, 5, int(seconds * SAMPLE_RATE)).astype(np.int16)


def blocks(samples: Samples, size: int) -> list[Samples]:
    return [samples[at : at + size] for at in range(0, len(samples), size)]


def three_cards() -> tuple[Samples, list[tuple[float, float]]]:
    parts = [quiet(2.0)]
    spans = []
    for name in ("001", "003", "004"):
        start = sum(map(len, parts)) / SAMPLE_RATE
        card = sound(f"cards/{name}.wav")
        spans.append((start, start + len(card) / SAMPLE_RATE))
        parts += [card, quiet(2.0)]
    return np.concatenate(parts), spans


def test_each_phrase_becomes_one_utterance_where_it_was_said() -> None:
    samples, spans = three_cards()
    found = list(utterances(blocks(samples, 1600)))
    assert len(found) == 3
    for utterance, (start, end) in zip(found, spans, strict=True):
        middle = (start + end) / 2
        assert utterance.start_s < middle < utterance.end_s
        assert start - 0.5 < utterance.start_s
        assert utterance.end_s < end + 1.2
        first = round(utterance.start_s * SAMPLE_RATE)
        np.testing.assert_array_equal(
            utterance.samples, samples[first : first + len(utterance.samples)]
        )


@pytest.mark.parametrize("size", [160, 777, 48_000])
def test_the_size_of_the_blocks_makes_no_difference(size: int) -> None:
    samples, _ = three_cards()
    want = list(utterances(blocks(samples, 1600)))
    got = list(utterances(blocks(samples, size)))
    assert [(u.start_s, u.end_s) for u in got] == [(u.start_s, u.end_s) for u in want]


def test_speech_up_to_the_end_of_the_source_is_given_out() -> None:
    card = sound("cards/004.wav")[:-4000]
    assert len(list(utterances(blocks(np.concatenate((quiet(1.0), card)), 1600)))) == 1


def test_endless_sound_is_cut_at_the_longest_length() -> None:
    speech = np.tile(sound("librivox/sense_and_sensibility_01_austen_64kb-0870.wav"), 3)
    settings = EndpointSettings(trailing_silence_s=1.0, longest_s=6.0)
    found = list(utterances(blocks(speech, 1600), settings))
    assert len(found) >= 3
    assert max(u.end_s - u.start_s for u in found) <= 6.01
    assert [u.cut for u in found] == [u.end_s - u.start_s > 5.99 for u in found]
    assert any(u.cut for u in found)


def test_a_click_is_no_utterance() -> None:
    samples = quiet(3.0)
    samples[20_000:20_400] = 20_000
    assert list(utterances(blocks(samples, 1600))) == []


def test_a_quiet_workshop_is_no_utterance() -> None:
    rumble = NOISES["bench"](10 * SAMPLE_RATE, 3)
    samples = as_samples(rumble / np.abs(rumble).max() * 600)
    assert list(utterances(blocks(samples, 1600))) == []


def test_quiet_is_told_while_nobody_speaks_and_only_then() -> None:
    samples, spans = three_cards()
    told = list(heard_or_quiet(blocks(samples, 1600)))
    spoken = sum(end - start for start, end in spans)
    pulses = sum(t is None for t in told)
    assert len([t for t in told if t is not None]) == 3
    assert pulses * 0.1 <= len(samples) / SAMPLE_RATE - spoken + 0.5
    assert pulses > 20
