"""The graph runner against onnxruntime, operator by operator, and the sides of the voices."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from assistant.evaluation.corpora import readings
from assistant.language import Language
from tests.lazily import Lazily
from training.voices import CHOOSE, TEST, UNUSED, read_styles, styles_of

torch, onnx, onnxruntime = Lazily("torch"), Lazily("onnx"), Lazily("onnxruntime")
heldout, torch_graph = Lazily("training.heldout"), Lazily("training.torch_graph")

RNG = np.random.default_rng(1)


def floats(*shape: int) -> Any:
    return RNG.normal(0, 1, shape).astype(np.float32)


def model(nodes: list[Any], values: dict[str, Any]) -> bytes:
    graph = onnx.helper.make_graph(
        nodes, "g",
        [onnx.helper.make_tensor_value_info("x", onnx.TensorProto.FLOAT, None)],
        [onnx.helper.make_tensor_value_info("y", onnx.TensorProto.FLOAT, None)],
        [onnx.numpy_helper.from_array(v, n) for n, v in values.items()],
    )  # fmt: skip
    domains = [onnx.helper.make_opsetid("", 17), onnx.helper.make_opsetid("com.microsoft", 1)]
    return bytes(
        onnx.helper.make_model(graph, opset_imports=domains, ir_version=8).SerializeToString()
    )


def ints(*values: int) -> Any:
    return np.array(values, np.int64)


CASES: dict[str, tuple[Any, list[tuple[Any, ...]], dict[str, Any], dict[str, Any]]] = {
    "slice backwards": (floats(2, 9), [("Slice", "x a b c d")],
                        {"a": ints(7), "b": ints(1), "c": ints(1), "d": ints(-2)}, {}),
    "gather": (floats(4, 5), [("Gather", "x i")], {"i": np.array([[0, -1], [2, 2]])}, {"axis": 1}),
    "reshape": (floats(2, 3, 4), [("Reshape", "x s")], {"s": ints(0, -1)}, {}),
    "expand": (floats(1, 3), [("Expand", "x s")], {"s": ints(4, 1)}, {}),
    "convolution": (floats(1, 4, 20), [("Conv", "x w b")], {"w": floats(4, 2, 3), "b": floats(4)},
                    {"pads": [2, 2], "strides": [2], "dilations": [2], "group": 2,
                     "kernel_shape": [3]}),
    "turned": (floats(1, 4, 7), [("ConvTranspose", "x w b")],
               {"w": floats(4, 1, 3), "b": floats(4)},
               {"pads": [1, 1], "strides": [2], "dilations": [1], "group": 4, "kernel_shape": [3],
                "output_padding": [1]}),
    "normalised": (floats(2, 3, 8), [("SkipLayerNormalization", "x o g b", "com.microsoft")],
                   {"o": floats(2, 3, 8), "g": floats(8), "b": floats(8)}, {"epsilon": 1e-12}),
    "gelu": (floats(3, 8), [("FastGelu", "x b", "com.microsoft")], {"b": floats(8)}, {}),
    "means": (floats(2, 3, 4), [("Softmax", "x")], {}, {"axis": -1}),
    "enlarged": (floats(1, 2, 5), [("Resize", "x  s")], {"s": np.array([1, 1, 3], np.float32)},
                 {"mode": "linear", "coordinate_transformation_mode": "half_pixel"}),
    "repeated": (floats(1, 2, 5), [("Resize", "x  s")], {"s": np.array([1, 1, 3], np.float32)},
                 {"mode": "nearest", "nearest_mode": "floor",
                  "coordinate_transformation_mode": "asymmetric"}),
    "mirrored": (floats(1, 9), [("Pad", "x p")], {"p": ints(0, 3, 0, 2)}, {"mode": "reflect"}),
    "scattered": (floats(3, 3), [("ScatterND", "x i v")],
                  {"i": np.array([[0, 1], [2, 2]]), "v": floats(2)}, {}),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_an_operator_does_what_onnxruntime_does(name: str) -> None:
    x, (operator,), values, attributes = CASES[name]
    kind, inputs, *domain = operator
    node = onnx.helper.make_node(
        kind, inputs.split(" "), ["y"], domain=(domain or [""])[0], **attributes
    )
    made = model([node], values)
    session = onnxruntime.InferenceSession(made, providers=["CPUExecutionProvider"])
    (expected,) = session.run(None, {"x": x})
    (got,) = torch_graph.TorchGraph(made, torch.device("cpu"))(x=torch.from_numpy(x))
    np.testing.assert_allclose(got.numpy(), expected, atol=1e-5)


# With weights of all eight bits onnxruntime clips sums on processors without the VNNI instructions
# (its page on quantization, "U8S8"), so the two are compared on weights of seven.
@pytest.mark.parametrize("most", [128, 64])
def test_eight_bit_weights_are_multiplied_without_rounding_what_comes_in(most: int) -> None:
    weight = RNG.integers(-most, most - 1, (6, 5)).astype(np.int8)
    nodes = [
        onnx.helper.make_node("DynamicQuantizeLinear", ["x"], ["q", "s", "z"]),
        onnx.helper.make_node("MatMulInteger", ["q", "w", "z", "wz"], ["p"]),
        onnx.helper.make_node("Cast", ["p"], ["f"], to=onnx.TensorProto.FLOAT),
        onnx.helper.make_node("Mul", ["f", "s"], ["y"]),
    ]
    made = model(nodes, {"w": weight, "wz": np.array(3, np.int8)})
    x = floats(4, 6)
    (got,) = torch_graph.TorchGraph(made, torch.device("cpu"))(x=torch.from_numpy(x))
    np.testing.assert_allclose(got.numpy(), x @ (weight.astype(np.float32) - 3), rtol=1e-5)
    if most == 64:
        # onnxruntime rounds what comes in to eight bits, so it is only near.
        session = onnxruntime.InferenceSession(made, providers=["CPUExecutionProvider"])
        (rounded,) = session.run(None, {"x": x})
        assert np.corrcoef(got.numpy().ravel(), rounded.ravel())[0, 1] > 0.999


def test_the_sides_of_the_voices_never_meet(tmp_path: Path) -> None:
    for name in (*TEST, *CHOOSE, *UNUSED, "am_puck"):
        floats(510, 256).tofile(tmp_path / f"{name}.bin")
    floats(510, 256)[:110].astype(np.float16).tofile(tmp_path / "jf_short.bin")
    styles = read_styles(tmp_path)
    assert styles["am_puck"].shape == (510, 1, 256)
    assert styles["jf_short"].shape == (110, 1, 256)
    sides = {side: set(styles_of(styles, side)) for side in ("train", "choose", "test")}
    assert sides == {"train": {"am_puck", "jf_short"}, "choose": set(CHOOSE), "test": set(TEST)}
    with pytest.raises(ValueError, match="no styles for 'test'"):
        styles_of({"am_puck": styles["am_puck"]}, "test")


@pytest.mark.audio
def test_what_was_said_is_heard_and_counted(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Readings by a voice that is at hand stand in for the synthesiser's files."""
    items = readings(Language.load("en-US"), 2, 5, ("slt",)).items
    sounds = [item.sound() for item in items]
    np.savez(
        tmp_path / "said-00.npz",
        sound=np.concatenate(sounds),
        length=np.array([len(sound) for sound in sounds]),
        names=json.dumps([(0, "slt"), (1, "slt")]),
    )
    kept = str(tmp_path / "kept")
    heldout.main(["hear", str(tmp_path), "--count", "2", "--seed", "5", "--kept", kept])
    rows = [line for line in capsys.readouterr().out.splitlines() if "| all" in line]
    assert len(rows) == 1
    assert "| 2 " in rows[0]
    assert Path(f"{kept}.01").read_text().count('"outcome": "right"') == 2
