"""Writes a trained model as ONNX with its matrices in eight bits.

The graph is written out by hand, so that the file holds nothing but the network: input ``mel``
(1, 80, T) float32, output ``logits`` (1, T/2, 41) float32. Matrices are quantised by
onnxruntime, each column with its own scale; convolutions stay as they are, being small.
"""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import onnx
from numpy.typing import NDArray
from onnx import TensorProto, helper, numpy_helper
from onnxruntime.quantization import QuantType, quantize_dynamic

from training.phones import CLASSES

Arrays = dict[str, NDArray[np.float32]]
OPSET = 17
MOST_FRAMES = 768


class _Graph:
    """Nodes and constants as they are added."""

    def __init__(self) -> None:
        self.nodes: list[onnx.NodeProto] = []
        self.values: list[onnx.TensorProto] = []

    def value(self, name: str, data: NDArray[np.generic]) -> str:
        self.values.append(numpy_helper.from_array(np.ascontiguousarray(data), name))
        return name

    def add(self, kind: str, inputs: list[str], out: str, **attributes: Any) -> str:
        self.nodes.append(helper.make_node(kind, inputs, [out], name=out, **attributes))
        return out

    def linear(
        self, x: str, weight: NDArray[np.float32], bias: NDArray[np.float32], out: str
    ) -> str:
        product = self.add("MatMul", [x, self.value(f"{out}.weight", weight.T)], f"{out}.product")
        return self.add("Add", [product, self.value(f"{out}.bias", bias)], out)

    def norm(self, x: str, weight: NDArray[np.float32], bias: NDArray[np.float32], out: str) -> str:
        names = [x, self.value(f"{out}.weight", weight), self.value(f"{out}.bias", bias)]
        return self.add("LayerNormalization", names, out, axis=-1, epsilon=1e-5)

    def gelu(self, x: str, out: str) -> str:
        scaled = self.add("Div", [x, "root_two"], f"{out}.scaled")
        error = self.add("Erf", [scaled], f"{out}.erf")
        more = self.add("Add", [error, "one"], f"{out}.more")
        product = self.add("Mul", [x, more], f"{out}.product")
        return self.add("Mul", [product, "half"], out)


def graph_of(arrays: Arrays, heads: int | None = None) -> onnx.ModelProto:
    """The network as an ONNX model in floats."""
    width = len(arrays["conv1.bias"])
    heads = heads or width // 64
    layers = sum(name.endswith("wide.bias") for name in arrays)
    g = _Graph()
    for name, number in (("root_two", 2**0.5), ("one", 1.0), ("half", 0.5)):
        g.value(name, np.array(number, np.float32))
    x = "mel"
    for n, stride in ((1, 1), (2, 2)):
        weight = g.value(f"conv{n}.weight", arrays[f"conv{n}.weight"])
        bias = g.value(f"conv{n}.bias", arrays[f"conv{n}.bias"])
        x = g.add("Conv", [x, weight, bias], f"conv{n}", strides=[stride], pads=[1, 1])
        x = g.gelu(x, f"conv{n}.gelu")
    x = g.add("Transpose", [x], "frames", perm=[0, 2, 1])
    shape = g.add("Shape", [x], "frames.shape")
    count = g.add("Gather", [shape, g.value("index", np.array([1], np.int64))], "frames.count")
    rows = g.value("positions.all", sinusoids(MOST_FRAMES, width))
    zero = g.value("zero", np.array([0], np.int64))
    positions = g.add("Slice", [rows, zero, count, zero], "positions")
    x = g.add("Add", [x, positions], "placed")
    for n in range(layers):
        own = {
            k.removeprefix(f"layers.{n}."): v
            for k, v in arrays.items() if k.startswith(f"layers.{n}.")
        }  # fmt: skip
        x = _layer(g, x, f"layer{n}", own, heads)
    x = g.norm(x, arrays["norm.weight"], arrays["norm.bias"], "norm")
    product = g.add("MatMul", [x, g.value("head.weight", arrays["head.weight"].T)], "head.product")
    g.add("Add", [product, g.value("head.bias", arrays["head.bias"])], "logits")
    graph = helper.make_graph(
        g.nodes, "phones",
        [helper.make_tensor_value_info("mel", TensorProto.FLOAT, [1, 80, "T"])],
        [helper.make_tensor_value_info("logits", TensorProto.FLOAT, [1, "frames", CLASSES])],
        g.values,
    )  # fmt: skip
    model = helper.make_model(graph, opset_imports=[helper.make_opsetid("", OPSET)], ir_version=8)
    onnx.checker.check_model(model)
    return model


def _layer(g: _Graph, x: str, name: str, own: Arrays, heads: int) -> str:
    """One layer of the encoder, with its ``own`` arrays; the name of what comes out of it."""
    width = len(own["out.bias"])
    calm = g.norm(x, own["before_attention.weight"], own["before_attention.bias"], f"{name}.norm1")
    split = g.value(f"{name}.split", np.array([0, 0, heads, width // heads], np.int64))
    parts = {}
    for part, (letter, order) in enumerate(
        (("q", [0, 2, 1, 3]), ("k", [0, 2, 3, 1]), ("v", [0, 2, 1, 3]))
    ):
        rows = slice(part * width, (part + 1) * width)
        weight, bias = own["qkv.weight"][rows], own["qkv.bias"][rows]
        if letter == "q":  # scaled here, once and for all
            scale = np.float32((width // heads) ** -0.5)
            weight, bias = weight * scale, bias * scale
        flat = g.linear(calm, weight, bias, f"{name}.{letter}")
        shaped = g.add("Reshape", [flat, split], f"{name}.{letter}.heads")
        parts[letter] = g.add("Transpose", [shaped], f"{name}.{letter}.turned", perm=order)
    scores = g.add("MatMul", [parts["q"], parts["k"]], f"{name}.scores")
    share = g.add("Softmax", [scores], f"{name}.share", axis=-1)
    heard = g.add("MatMul", [share, parts["v"]], f"{name}.heard")
    back = g.add("Transpose", [heard], f"{name}.back", perm=[0, 2, 1, 3])
    join = g.value(f"{name}.join", np.array([0, 0, width], np.int64))
    flat = g.add("Reshape", [back, join], f"{name}.flat")
    x = g.add(
        "Add", [x, g.linear(flat, own["out.weight"], own["out.bias"], f"{name}.out")], f"{name}.mid"
    )
    calm = g.norm(x, own["before_ffn.weight"], own["before_ffn.bias"], f"{name}.norm2")
    wide = g.gelu(
        g.linear(calm, own["wide.weight"], own["wide.bias"], f"{name}.wide"), f"{name}.gelu"
    )
    narrow = g.linear(wide, own["narrow.weight"], own["narrow.bias"], f"{name}.narrow")
    return g.add("Add", [x, narrow], f"{name}.end")


def sinusoids(length: int, width: int) -> NDArray[np.float32]:
    """Whisper's positions: sines in the first half of the channels, cosines in the second."""
    rates = np.exp(-np.log(10_000.0) / (width // 2 - 1) * np.arange(width // 2))
    angles = np.arange(length)[:, None] * rates[None]
    return np.concatenate([np.sin(angles), np.cos(angles)], 1).astype(np.float32)


def export(arrays: Arrays, out: Path, floats: bool = False) -> None:
    """Write the model to ``out``; ``floats``: without quantising."""
    model = graph_of(arrays)
    if floats:
        onnx.save(model, out)
        return
    with tempfile.TemporaryDirectory() as folder:
        whole = Path(folder) / "floats.onnx"
        onnx.save(model, whole)
        quantize_dynamic(
            whole, out, ["MatMul"], per_channel=True, reduce_range=True,
            weight_type=QuantType.QInt8, nodes_to_exclude=["head.product"],
        )  # fmt: skip


def arrays_of(path: Path) -> Arrays:
    """The variables of an exported model again, to train it further."""
    values = {t.name: numpy_helper.to_array(t) for t in onnx.load(path).graph.initializer}

    def matrix(name: str) -> NDArray[np.float32]:
        if f"{name}.weight" in values:
            return values[f"{name}.weight"].T.copy()
        whole = values[f"{name}.weight_quantized"].astype(np.float32)
        zero = values[f"{name}.weight_zero_point"].astype(np.float32)
        found: NDArray[np.float32] = ((whole - zero) * values[f"{name}.weight_scale"]).T.copy()
        return found

    found: Arrays = {}
    for name in ("conv1", "conv2", "norm"):
        for part in ("weight", "bias"):
            found[f"{name}.{part}"] = values[f"{name}.{part}"]
    found["head.weight"], found["head.bias"] = matrix("head"), values["head.bias"]
    width = len(found["norm.bias"])
    layers = sum(name.endswith(".wide.bias") for name in values)
    for n in range(layers):
        ours, own = f"layers.{n}", f"layer{n}"
        scale = np.array([64**0.5, 1, 1], np.float32)
        weights = [matrix(f"{own}.{part}") * s for part, s in zip("qkv", scale, strict=True)]
        biases = [values[f"{own}.{part}.bias"] * s for part, s in zip("qkv", scale, strict=True)]
        found[f"{ours}.qkv.weight"] = np.concatenate(weights).reshape(3 * width, width)
        found[f"{ours}.qkv.bias"] = np.concatenate(biases)
        for part in ("out", "wide", "narrow"):
            found[f"{ours}.{part}.weight"] = matrix(f"{own}.{part}")
            found[f"{ours}.{part}.bias"] = values[f"{own}.{part}.bias"]
        for theirs, name in (("norm1", "before_attention"), ("norm2", "before_ffn")):
            for part in ("weight", "bias"):
                found[f"{ours}.{name}.{part}"] = values[f"{own}.{theirs}.{part}"]
    return found


def main() -> None:
    """Exports a trained model."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("model", type=Path, help="the variables that training wrote (.npz)")
    parser.add_argument("out", type=Path)
    parser.add_argument("--floats", action="store_true", help="do not quantise")
    given = parser.parse_args()
    export(dict(np.load(given.model)), given.out, given.floats)


if __name__ == "__main__":
    main()
