"""The transform: the arithmetic against what it must recover, and the real decoder reading it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.evaluation.corpora import Task
from assistant.evaluation.states import STATES
from assistant.fitting.adaptation.acoustic_model import AcousticModel, bundled_model
from assistant.fitting.adaptation.aligning import Aligner, Stretch, features_of
from assistant.fitting.adaptation.keeping import engine_file, for_profile
from assistant.fitting.adaptation.transform import LEAST_FRAMES, Transform, estimate
from assistant.fitting.adaptation.trying import Tried
from assistant.fitting.profile import Adaptation
from assistant.fitting.taking import Take
from assistant.fitting.words import Asked
from assistant.language import Language
from assistant.resources import data_folder
from assistant.speech.endpoint import utterances
from assistant.speech.pocketsphinx_engine import PocketSphinxEngine
from tests.fitting.recordings import read_aloud

LEXICON = data_folder("grammars") / "en-US" / "lexicon.dict"
TEXT = "reading fifteen thou"


def far_apart(rng: np.random.Generator) -> AcousticModel:
    """A small model whose Gaussians cannot be taken for each other."""
    means = rng.uniform(-40, 40, (6, 3, 8, 13))
    weights = np.full((3, 8, 6), np.log(1 / 8))
    return AcousticModel(tuple("ABCDEF"), means, np.ones_like(means), weights)


@given(st.integers(0, 2**32 - 1))
def test_a_known_map_of_all_means_is_recovered(seed: int) -> None:
    rng = np.random.default_rng(seed)
    model = far_apart(rng)
    matrix = np.eye(13) + 0.01 * rng.standard_normal((3, 13, 13))
    offset = rng.uniform(-1, 1, (3, 13))
    stretches = []
    for phone in range(6):
        chosen = rng.integers(0, 8, (150, 3))
        means = np.stack([model.means[phone, s, chosen[:, s]] for s in range(3)], axis=1)
        moved = np.einsum("sij,tsj->tsi", matrix, means) + offset
        stretches.append(Stretch(phone, phone, moved + 0.1 * rng.standard_normal(moved.shape)))
    found = estimate(model, stretches, prior=1e-9)
    assert found is not None
    assert np.abs(found.matrix - matrix).max() < 0.01
    assert np.abs(found.offset - offset).max() < 0.2


def test_too_little_speech_makes_no_transform() -> None:
    model = far_apart(np.random.default_rng(1))
    frames = np.zeros((LEAST_FRAMES - 1, 3, 13))
    assert estimate(model, [Stretch(0, 0, frames)]) is None


def test_differences_of_a_steady_rise() -> None:
    # "1s_c_d_dd": c(t+2) - c(t-2), which is 4 for a rise of 1 a frame, and no second difference.
    rise = np.repeat(np.arange(20.0)[:, None], 13, axis=1)
    found = features_of(rise, [0.0] * 13)[4:-4]
    assert np.allclose(found[:, 1], 4.0)
    assert np.allclose(found[:, 2], 0.0)


def test_the_bundled_model_is_read_as_its_header_says() -> None:
    model = bundled_model()
    assert model.means.shape == (42, 3, 128, 13)
    assert {"AA", "ZH", "SIL"} <= set(model.phones)
    # Weights of a senone are a distribution over its codebook; they are kept in coarse steps.
    assert np.allclose(np.exp(model.weights).sum(axis=1), 1.0, atol=0.15)


@pytest.mark.audio
def test_words_are_aligned_in_order_and_the_same_every_time() -> None:
    (said,) = utterances([read_aloud([TEXT])])
    aligner = Aligner(LEXICON)
    stretches = aligner.align(said.samples, TEXT)
    names = [bundled_model().phones[s.phone] for s in stretches]
    assert names[:3] == ["R"] * 3
    spoken = list(dict.fromkeys(names))
    assert spoken[:5] == ["R", "IY", "D", "IH", "NG"]  # CMUdict: READING  R IY D IH NG
    assert 60 < sum(len(s.features) for s in stretches) < 200
    aligner.align(said.samples[:8000], "go on")
    again = aligner.align(said.samples, TEXT)
    assert all(
        np.array_equal(a.features, b.features) for a, b in zip(stretches, again, strict=True)
    )
    assert aligner.align(said.samples, "xyzzyx") == ()


@pytest.mark.audio
def test_the_decoder_reads_the_file_and_no_change_changes_nothing() -> None:
    language = Language.load("en-US")
    (said,) = utterances([read_aloud([TEXT])])
    still = Transform(np.stack([np.eye(13)] * 3), np.zeros((3, 13)))
    away = Transform(still.matrix, np.full((3, 13), 30.0))
    heard = []
    for transform in (None, still, away):
        kept = None if transform is None else for_profile(Tried(transform, ()), ())
        with engine_file(kept) as path:
            engine = PocketSphinxEngine(LEXICON, path)
        engine.listen_for(language.jsgf(STATES["runout"]), language.words(STATES["runout"]))
        heard.append([h.text for h in engine.recognise(said).hypotheses[:1]])
    assert heard[0] == heard[1] == [TEXT]
    assert heard[2] != [TEXT]


def test_a_transform_for_another_model_is_left_out() -> None:
    still = Transform(np.stack([np.eye(13)] * 3), np.zeros((3, 13)))
    kept = for_profile(Tried(still, ()), ())
    with engine_file(kept.model_copy(update={"model_sha256": "0" * 64})) as path:
        assert path is None
    with engine_file(kept) as path:
        assert path is not None
        assert path.read_text("ascii") == still.text()
    assert not Path(path).exists()


@given(
    st.lists(st.sampled_from(["right", "misled", "nothing"]), min_size=1, max_size=12), st.data()
)
def test_it_is_taken_only_when_more_is_right_and_no_more_misled(
    before: list[str], data: st.DataObject
) -> None:
    after = data.draw(
        st.lists(
            st.sampled_from(["right", "misled", "nothing"]),
            min_size=len(before),
            max_size=len(before),
        )
    )
    phrase = Asked("go on", Task("own", None), "command")

    def takes(kinds: list[str]) -> tuple[Take, ...]:
        return tuple(Take(phrase, k, 0.9, k == "right", k == "misled") for k in kinds)

    still = Transform(np.stack([np.eye(13)] * 3), np.zeros((3, 13)))
    tried = Tried(still, takes(after))
    if tried.helps(takes(before)):
        assert after.count("right") > before.count("right")
        assert after.count("misled") <= before.count("misled")
    else:
        assert after.count("right") <= before.count("right") or (
            after.count("misled") > before.count("misled")
        )


def test_the_profile_keeps_whole_transforms_only() -> None:
    still = Transform(np.stack([np.eye(13)] * 3), np.zeros((3, 13)))
    kept = for_profile(Tried(still, ()), ())
    data = kept.model_dump(mode="json")
    assert Adaptation.model_validate_json(kept.model_dump_json()) == kept
    data["matrix"][1].pop()
    with pytest.raises(ValueError, match="matrix"):
        Adaptation.model_validate(data)
