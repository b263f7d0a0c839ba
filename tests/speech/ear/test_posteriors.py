"""Posteriors and the card of a model."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from scipy.special import log_softmax

from assistant.language.pronouncing import bundled_dictionary
from assistant.speech.ear.posteriors import (
    PHONES,
    PhoneModel,
    log_probabilities,
    must_be_of_these_phones,
)
from assistant.speech.errors import SpeechError


def test_the_phones_are_those_of_the_dictionary() -> None:
    """The CMU dictionary in PocketSphinx's package, which writes them without stress."""
    used = {p for ways in bundled_dictionary().values() for way in ways for p in way}
    assert [*sorted(used), "IY0"] == PHONES


def test_posteriors_are_probabilities() -> None:
    logits = np.random.default_rng(1).normal(0, 8, (30, 41)).astype(np.float32)
    got = log_probabilities(logits, 0.0)
    np.testing.assert_allclose(got, log_softmax(logits, axis=1), atol=1e-4)
    floored = log_probabilities(logits, 0.01)
    np.testing.assert_allclose(np.exp(floored).sum(axis=1), 1.0, atol=1e-5)
    assert np.exp(floored).min() >= 0.01 / 41 * 0.999


def test_a_card_of_other_phones_is_refused(tmp_path: Path) -> None:
    card = tmp_path / "phones.json"
    card.write_text(json.dumps({"phones": ["<blank>", *PHONES]}))
    must_be_of_these_phones(card)
    card.write_text(json.dumps({"phones": ["<blank>", *PHONES[::-1]]}))
    with pytest.raises(SpeechError, match="other phones"):
        must_be_of_these_phones(card)
    card.write_text("not JSON")
    with pytest.raises(SpeechError, match="cannot be read"):
        must_be_of_these_phones(card)


def test_a_model_that_is_missing_or_damaged_is_named(tmp_path: Path) -> None:
    path = tmp_path / "phones.onnx"
    with pytest.raises(SpeechError, match=f"{path.name} is missing"):
        PhoneModel(path)
    path.write_bytes(b"not a network")
    path.with_name("phones.json").write_text(json.dumps({"phones": ["<blank>", *PHONES]}))
    with pytest.raises(SpeechError, match=f"{path.name} is damaged"):
        PhoneModel(path)
