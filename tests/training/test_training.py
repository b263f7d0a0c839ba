"""A training run in small: every step of it, on the processor, in seconds."""

from __future__ import annotations

import random
import struct
from itertools import product
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from assistant.language import Language
from assistant.speech.ear.posteriors import LABELS, PHONES
from tests.lazily import Lazily
from training.clips import pack_clips, unpack_clips, write_clips
from training.corpus import Corpus
from training.describe import description
from training.phones import BLANK, CLASSES, targets
from training.recordings import plain
from training.weights import pack, read_encoder, unpack

torch, onnxruntime = Lazily("torch"), Lazily("onnxruntime")
bank, export, model = (Lazily(f"training.{name}") for name in ("bank", "export", "model"))
scoring, train = Lazily("training.scoring"), Lazily("training.train")
WIDTH, LAYERS = 64, 2


@pytest.fixture(scope="module", autouse=True)
def _one_thread() -> None:
    """So small a model learns no faster with more, and they wait busily."""
    torch.set_num_threads(1)


@pytest.fixture(scope="module")
def encoder() -> dict[str, NDArray[np.float32]]:
    """Variables of a very small encoder, named as in the catalogue's file."""
    rng = np.random.default_rng(1)
    shapes = {
        "conv1.weight": (WIDTH, 80, 3), "conv2.weight": (WIDTH, WIDTH, 3),
        "self_attention.linear_0.weight": (3 * WIDTH, WIDTH),
        "self_attention.linear_1.weight": (WIDTH, WIDTH),
        "ffn.linear_0.weight": (4 * WIDTH, WIDTH), "ffn.linear_1.weight": (WIDTH, 4 * WIDTH),
        "self_attention.linear_0.bias": (3 * WIDTH,), "ffn.linear_0.bias": (4 * WIDTH,),
    }  # fmt: skip
    found = {}
    for name in model.names(LAYERS).values():
        shape = shapes.get(name) or shapes.get(name.split(".", 1)[1]) or (WIDTH,)
        values = rng.normal(0, 0.1, shape).astype(np.float32)
        found[name] = values + 1 if name.endswith("gamma") else values
    return found


def made_clips(count: int = 12) -> list[tuple[NDArray[np.int16], list[int]]]:
    """Tones that stand for words."""
    rng = np.random.default_rng(2)
    time = np.arange(4000) / 16_000
    clips = []
    for _ in range(count):
        phones = rng.integers(1, CLASSES, 3).tolist()
        tones = [np.sin(2 * np.pi * (200 + 60 * p) * time) for p in phones]
        clips.append(((np.concatenate(tones) * 8000).astype(np.int16), phones))
    return clips


def test_phones_are_the_cmu_dictionarys_and_the_blank_comes_first() -> None:
    # The 39 phones of the CMU Pronouncing Dictionary 0.7b (cmudict-0.7b.phones), and its IY0.
    assert len(PHONES) == 40
    assert sorted(PHONES[:-1]) == list(PHONES[:-1])
    assert BLANK == 0
    assert LABELS["AA"] == 1
    assert CLASSES == 41
    known = Language.load("en-US").pronunciations
    assert targets("sixteen", known) == [LABELS[p] for p in ("S", "IH", "K", "S", "T", "IY", "N")]
    assert targets("qwrtzx", known) is None


# As the CMU Pronouncing Dictionary 0.7b has their last vowels, from memory.
@pytest.mark.parametrize(
    ("word", "last"),
    [("sixty", "IY0"), ("ready", "IY0"), ("three", "IY"), ("degree", "IY"), ("key", "IY")],
)
def test_only_an_unstressed_y_is_a_phone_of_its_own(word: str, last: str) -> None:
    said = targets(word, Language.load("en-US").pronunciations)
    assert said is not None
    assert said[-1] == LABELS[last]


def test_a_model_from_before_the_unstressed_y_is_as_likely_of_either(
    encoder: dict[str, NDArray[np.float32]],
) -> None:
    arrays = model.as_arrays(model.grown_from(encoder))
    before = {n: v[:-1] if n.startswith("head.") else v for n, v in arrays.items()}
    mel = torch.randn(1, 80, 40)
    with torch.no_grad():
        now = model.restored(before)(mel)[0].softmax(1)
        then = model.restored(arrays)(mel)[0][:, :-1].softmax(1)
    stressed = LABELS["IY"]
    torch.testing.assert_close(now[:, stressed], now[:, -1])
    torch.testing.assert_close(now[:, stressed] + now[:, -1], then[:, stressed])


def test_corpus_follows_from_its_seed_and_has_the_pairs_that_sound_alike() -> None:
    language = Language.load("en-US")
    corpus = Corpus(language)
    one = [corpus.line(random.Random(4), close=3.0) for _ in range(3)]
    assert one == [corpus.line(random.Random(4), close=3.0) for _ in range(3)]
    rng = random.Random(5)
    lines = [corpus.line(rng) for _ in range(400)]
    assert all(targets(line, language.pronunciations) for line in lines)
    text = " ".join(lines)
    assert "teen newton" in text
    assert "ty newton" in text


def test_a_model_learns_and_is_exported_as_it_is(
    encoder: dict[str, NDArray[np.float32]], tmp_path: Path
) -> None:
    torch.manual_seed(1)
    write_clips(tmp_path / "made-0000.npz", made_clips(), "made")
    held = bank.Bank(torch.device("cpu"), 60)
    assert held.take_in(tmp_path) == 12
    assert held.take_in(tmp_path) == 12
    run = train.Training(model.grown_from(encoder), held, seed=1, windows=0.02)
    drawn = bank.plan(held, train.SHARES, 2, 16_000 * 3, np.random.default_rng(1))
    losses = [float(run.step(drawn, (1e-3, 1e-2), 0.02)[0]) for _ in range(12)]
    assert np.isfinite(losses).all()
    assert losses[-1] < losses[0]
    run.remember(1.0)
    arrays = model.as_arrays(run.averaged())

    export.export(arrays, tmp_path / "floats.onnx", floats=True)
    export.export(arrays, tmp_path / "small.onnx")
    mel = np.random.default_rng(3).normal(0, 0.5, (1, 80, 120)).astype(np.float32)
    with torch.no_grad():
        expected = run.averaged().eval()(torch.from_numpy(mel)).numpy()
    for name, most in (("floats", 1e-3), ("small", 0.35)):
        session = onnxruntime.InferenceSession(tmp_path / f"{name}.onnx")
        (found,) = session.run(["logits"], {"mel": mel})
        assert found.shape == (1, 60, CLASSES)
        assert np.abs(found - expected).max() < most * max(1.0, np.abs(expected).max())
    again = export.arrays_of(tmp_path / "floats.onnx")
    assert set(again) == set(arrays)
    assert all(np.allclose(again[name], arrays[name], atol=1e-5) for name in arrays)
    assert model.restored(export.arrays_of(tmp_path / "small.onnx"))

    facts = description(tmp_path / "small.onnx", "test", 1.5)
    assert facts["phones"][0] == "<blank>"  # type: ignore[index]
    assert "MIT" in str(facts["licence"])


def test_windows_hold_their_clips_where_planned(tmp_path: Path) -> None:
    write_clips(tmp_path / "made.npz", made_clips(), "made")
    held = bank.Bank(torch.device("cpu"), 60)
    held.take_in(tmp_path)
    drawn = bank.plan(held, {"made": 1.0}, 6, 48_000, np.random.default_rng(7))
    sound = bank.lay(held, drawn)
    assert sound.shape == (6, 48_000)
    for window in range(6):
        pieces = np.flatnonzero(drawn.window == window)
        expected = [p for piece in pieces for p in held.phones[drawn.clip[piece]]]
        assert drawn.targets[window].tolist() == expected
        if len(pieces):
            start = int(drawn.at[pieces[0]])
            assert sound[window, : start - 1].abs().max() == 0
            assert sound[window, start : start + 2000].abs().max() > 0.1


def test_clips_travel_in_little_room(tmp_path: Path) -> None:
    clips = made_clips()
    write_clips(tmp_path / "made.npz", clips, "made")
    pack_clips(tmp_path / "made.npz")
    out = tmp_path / "out"
    out.mkdir()
    unpack_clips(tmp_path, out)
    with np.load(tmp_path / "made.npz") as sent, np.load(out / "made.npz") as got:
        assert got["length"].tolist() == sent["length"].tolist()
        assert got["phones"].tolist() == sent["phones"].tolist()
        assert np.corrcoef(got["sound"], sent["sound"])[0, 1] > 0.95


def test_likelihood_sums_over_all_ways_to_say_it() -> None:
    # Against the definition: every path that collapses to the phones (Graves et al. 2006, eq. 3).
    logits = np.random.default_rng(4).normal(0, 1, (4, CLASSES))
    logits[:, 4:] = -50
    logp = scoring.log_softmax(logits)
    for phones in ([1], [1, 2], [2, 2], [3, 1]):
        total = 0.0
        for path in product(range(4), repeat=4):
            said = [p for p, before in zip(path, (0, *path), strict=False) if p not in (before, 0)]
            if said == phones:
                total += float(np.exp(sum(logp[t, p] for t, p in enumerate(path))))
        assert scoring.likelihoods(logp, [phones, [1]])[0] == pytest.approx(np.log(total), abs=1e-9)
    assert scoring.greedy(np.eye(CLASSES)[[0, 1, 1, 0, 1, 2]]) == [1, 1, 2]
    assert scoring.distance([1, 2, 3], [1, 3]) == 1


def test_the_catalogues_form_is_read_and_packed(tmp_path: Path) -> None:
    # CTranslate2's form, written out here byte by byte.
    def text(value: str) -> bytes:
        return struct.pack("<H", len(value) + 1) + value.encode() + b"\0"

    matrix = np.arange(6, dtype=np.float16).reshape(2, 3)
    data = struct.pack("<I", 6) + text("WhisperSpec") + struct.pack("<II", 3, 2)
    for name, values in (("encoder/ffn/weight", matrix), ("decoder/other", matrix)):
        data += text(name) + struct.pack("<B2IBI", 2, 2, 3, 4, values.nbytes) + values.tobytes()
    (tmp_path / "model.bin").write_bytes(data)
    found = read_encoder(tmp_path / "model.bin")
    assert list(found) == ["ffn/weight"]
    pack(found, tmp_path / "packed.npz")
    assert np.allclose(unpack(tmp_path / "packed.npz")["ffn.weight"], matrix, atol=0.03)


def test_transcripts_become_plain_words() -> None:
    assert plain("Can I have a 12-oz latte?") == "can i have a twelve ounce latte"
