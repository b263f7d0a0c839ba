"""The tree of texts: sharing beginnings changes no likelihood. And the file the weights are in."""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.audio.synthesis.speakers import say
from assistant.models.places import best_installed
from assistant.speech.errors import SpeechError
from assistant.speech.types import SAMPLE_RATE
from assistant.speech.whisper_tree import TreeDecoder
from assistant.speech.whisper_weights import Weights, read_weights

WIDTH, VOCABULARY, LAYERS = 128, 11, 2


def small_decoder() -> TreeDecoder:
    rng = np.random.default_rng(3)

    def numbers(*shape: int) -> np.ndarray[tuple[int, ...], np.dtype[np.float32]]:
        return rng.normal(0, 0.1, shape).astype(np.float32)

    weights: Weights = {
        "embeddings/weight": numbers(VOCABULARY, WIDTH),
        "position_encodings/encodings": numbers(40, WIDTH),
        "layer_norm/gamma": 1 + numbers(WIDTH),
        "layer_norm/beta": numbers(WIDTH),
    }
    shapes = {
        "self_attention": {"linear_0": 3, "linear_1": 1},
        "attention": {"linear_0": 1, "linear_1": 2, "linear_2": 1},
        "ffn": {"linear_0": 4},
    }
    for layer in range(LAYERS):
        for part, linears in shapes.items():
            name = f"layer_{layer}/{part}"
            weights[f"{name}/layer_norm/gamma"] = 1 + numbers(WIDTH)
            weights[f"{name}/layer_norm/beta"] = numbers(WIDTH)
            for linear, times in linears.items():
                weights[f"{name}/{linear}/weight"] = numbers(times * WIDTH, WIDTH)
                weights[f"{name}/{linear}/bias"] = numbers(times * WIDTH)
        weights[f"layer_{layer}/ffn/linear_1/weight"] = numbers(WIDTH, 4 * WIDTH)
        weights[f"layer_{layer}/ffn/linear_1/bias"] = numbers(WIDTH)
    return TreeDecoder(weights)


DECODER = small_decoder()
SOUND = np.random.default_rng(4).normal(0, 1, (17, WIDTH)).astype(np.float32)
OPENING = DECODER.open(SOUND, [1, 2, 3])

TEXTS = st.lists(
    st.lists(st.integers(0, VOCABULARY - 1), min_size=1, max_size=6), min_size=1, max_size=8
)


@given(TEXTS)
@settings(deadline=None, max_examples=60)
def test_texts_weighed_together_weigh_what_they_weigh_alone(texts: list[list[int]]) -> None:
    together = DECODER.weigh(OPENING, texts)
    alone = [DECODER.weigh(OPENING, [text])[0] for text in texts]
    assert together == pytest.approx(alone, abs=1e-3)


@given(st.lists(st.integers(0, VOCABULARY - 1), min_size=1, max_size=5))
@settings(deadline=None, max_examples=40)
def test_probabilities_of_all_next_tokens_add_up_to_that_of_the_text(text: list[int]) -> None:
    """The chain rule of probability."""
    whole = DECODER.weigh(OPENING, [text])[0]
    longer = DECODER.weigh(OPENING, [[*text, token] for token in range(VOCABULARY)])
    assert np.logaddexp.reduce(longer) == pytest.approx(whole, abs=1e-3)


@given(TEXTS)
@settings(deadline=None, max_examples=40)
def test_a_text_with_its_last_token_replaced_weighs_what_was_foreseen(
    texts: list[list[int]],
) -> None:
    look = DECODER.look(OPENING, texts)
    some = np.array([0, 1, 2, 3, 4])
    for index, text in enumerate(texts):
        found = look.instead(index, some)
        assert len(found) == sum(token in some for token in text)
        if text[-1] in some:
            other, nats = found[-1]
            assert other[:-1] == text[:-1]
            assert other[-1] != text[-1]
            assert DECODER.weigh(OPENING, [other])[0] == pytest.approx(nats, abs=1e-3)
            rest = [DECODER.weigh(OPENING, [[*text[:-1], int(t)]])[0] for t in some]
            assert max(r for r, t in zip(rest, some, strict=True) if t != text[-1]) == (
                pytest.approx(nats, abs=1e-3)
            )


def test_tokens_before_the_texts_may_as_well_be_part_of_them() -> None:
    short = DECODER.open(SOUND, [1, 2])
    with_three = DECODER.weigh(short, [[3, 5, 6]])[0] - DECODER.weigh(short, [[3]])[0]
    assert DECODER.weigh(OPENING, [[5, 6]])[0] == pytest.approx(with_three, abs=1e-3)


def test_the_sound_matters_and_texts_of_no_or_one_token_are_weighed() -> None:
    other = DECODER.open(SOUND[::-1] * 2, [1, 2, 3])
    assert DECODER.weigh(other, [[5, 6]])[0] != pytest.approx(DECODER.weigh(OPENING, [[5, 6]])[0])
    assert DECODER.weigh(OPENING, [[], [4]]) == [0.0, pytest.approx(float(OPENING.first[4]))]


def test_weights_are_read_as_ctranslate2_writes_them(tmp_path: Path) -> None:
    """Written by the library's own converter code, so the form is not of our making."""
    common = pytest.importorskip("ctranslate2.specs.common_spec")
    model_spec = pytest.importorskip("ctranslate2.specs.model_spec")

    class Spec(model_spec.ModelSpec):  # type: ignore[misc, name-defined]
        def __init__(self) -> None:
            super().__init__()
            self.decoder = common.LinearSpec()
            self.encoder = common.LinearSpec()

        @property
        def name(self) -> str:
            return "OurSpec"

        @property
        def revision(self) -> int:
            return 3

    spec = Spec()
    for part, scale in ((spec.decoder, 1), (spec.encoder, 2)):
        part.weight = np.arange(6, dtype=np.float16).reshape(2, 3) * scale
        part.bias = np.ones(2, np.float32) * scale
    spec.validate()
    spec.save(str(tmp_path))
    found = read_weights(tmp_path / "model.bin")
    assert found["weight"].tolist() == [[0, 1, 2], [3, 4, 5]]
    assert found["bias"].tolist() == [1, 1]
    assert not [name for name in found if "encoder" in name]


@pytest.mark.parametrize("content", [b"", b"\x06", struct.pack("<I", 9) + bytes(40)])
def test_another_file_is_refused_with_the_remedy(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "model.bin"
    path.write_bytes(content)
    with pytest.raises(SpeechError, match=r"model\.bin"):
        read_weights(path)


@pytest.mark.audio
def test_a_tree_of_texts_gives_each_the_likelihood_that_ctranslate2_gives_it() -> None:
    """Against forced decoding by CTranslate2 (``Whisper.align``) in 32 bits; it leaves the
    marks of time out of the probabilities, hence the tolerance."""
    folder = best_installed("whisper")
    if folder is None:
        pytest.skip("no Whisper model is installed: assembly-assistant models fetch whisper-base")
    ctranslate2 = pytest.importorskip("ctranslate2")
    whisper = pytest.importorskip("faster_whisper")
    model = whisper.WhisperModel(str(folder), "cpu", compute_type="float32", local_files_only=True)
    tokens = whisper.tokenizer.Tokenizer(model.hf_tokenizer, True, task="transcribe", language="en")
    sound = np.zeros(8 * SAMPLE_RATE, np.float32)
    said = say("reading forty point zero one five millimeters", "rms")
    sound[: len(said)] = said.astype(np.float32) / 32768
    features = np.ascontiguousarray(model.feature_extractor(sound, padding=0)[None, :, :800])
    encoded = model.model.encode(ctranslate2.StorageView.from_array(features))
    decoder = TreeDecoder(read_weights(folder / "model.bin"))
    before = tokens.encode(" Reading 1.5 millimeters.")
    start = [tokens.sot_prev, *before, *tokens.sot_sequence]
    opening = decoder.open(np.array(encoded)[0], [*start, tokens.no_timestamps])
    texts = [" Reading 40.015 millimeters.", " Reading 14.019 millimeters.", " Go on."]
    written = [tokens.encode(text) for text in texts]
    theirs = [
        sum(np.log(model.model.align(encoded, start, [text], [800])[0].text_token_probs))
        for text in written
    ]
    assert decoder.weigh(opening, written) == pytest.approx(theirs, rel=0.01, abs=0.1)
    assert theirs[0] > max(theirs[1:])
