"""Posteriors and the card of a model."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from scipy.special import log_softmax

from assistant.language.pronouncing import bundled_dictionary
from assistant.speech.ear.posteriors import PHONES, Card, PhoneModel, calibrated
from assistant.speech.errors import SpeechError


def test_the_phones_are_those_of_the_dictionary() -> None:
    """The CMU dictionary in PocketSphinx's package, which writes them without stress."""
    used = {p for ways in bundled_dictionary().values() for way in ways for p in way}
    assert sorted(used) == PHONES


def test_posteriors_are_probabilities() -> None:
    logits = np.random.default_rng(1).normal(0, 8, (30, 40)).astype(np.float32)
    got = calibrated(logits, Card(1.0, 0.0))
    np.testing.assert_allclose(got, log_softmax(logits, axis=1), atol=1e-4)
    floored = calibrated(logits, Card(1.0, 0.01))
    np.testing.assert_allclose(np.exp(floored).sum(axis=1), 1.0, atol=1e-5)
    assert np.exp(floored).min() >= 0.01 / 40 * 0.999


def test_temperature_flattens() -> None:
    logits = np.random.default_rng(1).normal(0, 8, (30, 40)).astype(np.float32)
    got = calibrated(logits, Card(2.5, 0.0))
    np.testing.assert_allclose(got, log_softmax(logits / 2.5, axis=1), atol=1e-4)


def test_a_card_is_read(tmp_path: Path) -> None:
    path = tmp_path / "phones.json"
    path.write_text(
        json.dumps({"phones": ["<blank>", *PHONES], "temperature": 1.7, "floor": 0.001})
    )
    assert Card.read(path) == Card(1.7, 0.001)
    path.write_text("{}")
    assert Card.read(path) == Card()


def test_a_card_of_other_phones_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "phones.json"
    path.write_text(json.dumps({"phones": PHONES[::-1]}))
    with pytest.raises(SpeechError, match="other phones"):
        Card.read(path)
    path.write_text("not JSON")
    with pytest.raises(SpeechError, match="cannot be read"):
        Card.read(path)


def test_a_model_that_is_missing_or_damaged_is_named(tmp_path: Path) -> None:
    path = tmp_path / "phones.onnx"
    with pytest.raises(SpeechError, match=f"{path.name} is missing"):
        PhoneModel(path)
    path.write_bytes(b"not a network")
    with pytest.raises(SpeechError, match=f"{path.name} is damaged"):
        PhoneModel(path)
