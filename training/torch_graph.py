"""Runs an ONNX network with torch, so that a GPU can do it without a further library.

It knows the operators of the neural synthesiser, no others. What the file does in eight bits is
done in floats here: activations are not rounded, weights keep their eight bits.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import onnx
import torch
from onnx import helper, numpy_helper
from torch import Tensor
from torch.nn import functional as f

Operator = Callable[[Mapping[str, Any], Sequence[Any]], Any]


@dataclass(frozen=True)
class _Node:
    operator: Operator
    attributes: Mapping[str, Any]
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    gone: tuple[str, ...]
    """Values that nobody needs any more."""
    by_numbers: bool
    """The later inputs are numbers, and may stay on the processor."""


class TorchGraph:
    """The network of a model, on ``device``."""

    def __init__(self, model: bytes, device: torch.device) -> None:
        graph = onnx.load_from_string(model).graph
        self._device = device
        self._outputs = tuple(out.name for out in graph.output)
        values = {
            t.name: torch.from_numpy(numpy_helper.to_array(t).copy()) for t in graph.initializer
        }
        self._known: dict[str, Any] = {
            name: value.to(device) if value.is_floating_point() and value.dim() else value
            for name, value in values.items()
        }
        self._known[""] = None
        last: dict[str, int] = {}
        for number, node in enumerate(graph.node):
            last.update(dict.fromkeys(node.input, number))
        self._nodes: list[_Node] = []
        for number, node in enumerate(graph.node):
            attributes = {a.name: _plain(helper.get_attribute_value(a)) for a in node.attribute}
            gone = [n for n in {*node.input, *node.output} if last.get(n, number) == number]
            made = _Node(
                OPERATORS[node.op_type], attributes, tuple(node.input), tuple(node.output),
                tuple(n for n in gone if n not in self._known and n not in self._outputs),
                node.op_type in _BY_NUMBERS,
            )  # fmt: skip
            if all(name in self._known for name in made.inputs):
                self._take(made, self._known)
            else:
                self._nodes.append(made)
        self._known = {n: self._weights(v) for n, v in self._known.items()}

    @torch.inference_mode()
    def __call__(self, **inputs: Tensor) -> tuple[Tensor, ...]:
        values = {**self._known, **{n: v.to(self._device) for n, v in inputs.items()}}
        for node in self._nodes:
            self._take(node, values)
            for name in node.gone:
                values.pop(name, None)
        return tuple(values[name] for name in self._outputs)

    def _take(self, node: _Node, values: dict[str, Any]) -> None:
        given = [values[name] for name in node.inputs]
        devices = {v.device for v in given if isinstance(v, Tensor) and v.dim()}
        if len(devices) > 1 and not node.by_numbers:
            given = [v.to(self._device) if isinstance(v, Tensor) and v.dim() else v for v in given]
        out = node.operator(node.attributes, given)
        made = out if isinstance(out, tuple) else (out,)
        values.update(zip(node.outputs, made, strict=False))

    def _weights(self, value: Any) -> Any:
        if isinstance(value, Tensor) and value.dtype in (torch.int8, torch.uint8) and value.dim():
            return value.to(self._device)
        return value


def _plain(value: Any) -> Any:
    if isinstance(value, bytes):
        return value.decode()
    if isinstance(value, onnx.TensorProto):
        return numpy_helper.to_array(value).item()
    return value


def _numbers(value: Tensor) -> list[int]:
    return [int(n) for n in value.reshape(-1).tolist()]


def _slice(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    x: Tensor
    x, starts, ends = given[0], _numbers(given[1]), _numbers(given[2])
    axes = _numbers(given[3]) if len(given) > 3 else list(range(len(starts)))
    steps = _numbers(given[4]) if len(given) > 4 else [1] * len(starts)
    for axis, start, end, step in zip(axes, starts, ends, steps, strict=True):
        index = range(x.shape[axis])[start:end:step]
        if step < 0:
            x = x.index_select(axis, torch.tensor(list(index), device=x.device))
        else:
            where = [slice(None)] * x.dim()
            where[axis] = slice(index.start, index.stop, index.step)
            x = x[tuple(where)]
    return x


def _gather(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    x, index = given
    axis = a.get("axis", 0) % x.dim()
    index = index.to(x.device)
    index = torch.where(index < 0, index + x.shape[axis], index)
    found: Tensor = x.index_select(axis, index.reshape(-1))
    return found.reshape([*x.shape[:axis], *index.shape, *x.shape[axis + 1 :]])


def _reshape(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    x: Tensor = given[0]
    shape = _numbers(given[1])
    return x.reshape([x.shape[n] if size == 0 else size for n, size in enumerate(shape)])


def _convolved(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    low, high = a["pads"]
    assert low == high
    return f.conv1d(
        given[0], given[1], given[2] if len(given) > 2 else None, a["strides"][0], low,
        a["dilations"][0], a["group"],
    )  # fmt: skip


def _convolved_in_eight_bits(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    sound, weight, _, zero = given
    return _convolved(a, (sound, _once(weight, lambda: _centred(weight, zero, 0))))


def _turned_convolution(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    return f.conv_transpose1d(
        given[0], given[1], given[2] if len(given) > 2 else None, a["strides"][0], a["pads"][0],
        a.get("output_padding", [0])[0], a["group"], a["dilations"][0],
    )  # fmt: skip


def _centred(weight: Tensor, zero: Tensor, axis: int) -> Tensor:
    """Eight-bit weights around nothing, as floats."""
    if zero.dim():
        shape = [1] * weight.dim()
        shape[axis] = -1
        zero = zero.reshape(shape).to(weight.device) if zero.numel() > 1 else zero.reshape(())
    return weight.float() - zero.float()


def _product_in_eight_bits(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    one, other, _, zero = given
    if other.dtype in _BYTES:
        eight_bits = other
        other = _once(eight_bits, lambda: _centred(eight_bits, zero, -1))
    product: Tensor = one.float() @ other
    return product


def _recurrent(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    """A two-way LSTM: gates in the order input, output, forget, cell; torch has i, f, c, o."""
    x, w, r, bias, _, hidden, cell, *scales = given
    size = a["hidden_size"]
    weights = _once(w, lambda: _gates(size, (w, r, bias), scales))
    start = (hidden.to(x.device), cell.to(x.device))
    out, _, _ = torch.lstm(x, start, weights, True, 1, 0.0, False, True, False)
    frames, batch, _ = out.shape
    return out.reshape(frames, batch, 2, size).transpose(1, 2)


def _gates(size: int, packed: Sequence[Tensor], scales: Sequence[Tensor]) -> list[Tensor]:
    """The weights as torch has them."""
    w, r, bias = packed
    _, w_scale, w_zero, r_scale, r_zero = scales
    order = [n for gate in (0, 2, 3, 1) for n in range(gate * size, (gate + 1) * size)]
    weights = []
    for way in (0, 1):
        for bits, scale, zero in ((w, w_scale, w_zero), (r, r_scale, r_zero)):
            whole = (bits[way].float() - zero[way].float().to(w.device)) * scale[way].to(w.device)
            weights.append(whole.T[order].contiguous())
        weights += [bias[way][: 4 * size][order], bias[way][4 * size :][order]]
    return weights


def _stft(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    sound, step, window, length = given
    sound = sound[..., 0] if sound.dim() == 3 else sound
    frames = sound.unfold(1, int(length), int(step)) * window.to(sound.device)
    return torch.view_as_real(torch.fft.rfft(frames))


def _resized(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    scale = float(given[2][-1])
    if a["mode"] == "nearest":
        return f.interpolate(given[0], scale_factor=scale, mode="nearest")
    return f.interpolate(given[0], scale_factor=scale, mode="linear", align_corners=False)


def _scattered(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    x: Tensor
    x, index, new = (g.to(given[0].device) for g in given)
    return x.clone().index_put(tuple(index.unbind(-1)), new)


def _normalised(x: Tensor, gain: Tensor, offset: Tensor, epsilon: float) -> Tensor:
    return f.layer_norm(x, x.shape[-1:], gain, offset, epsilon)


def _unsqueezed(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    x: Tensor = given[0]
    for axis in sorted(_numbers(given[1])):
        x = x.unsqueeze(axis)
    return x


def _cast(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    x: Tensor = given[0]
    if x.is_floating_point() and a["to"] == 6:
        return x  # an eight-bit product, which is a float here
    kinds = {1: torch.float32, 6: torch.int32, 7: torch.int64, 9: torch.bool}
    return x.to(kinds[a["to"]])


def _padded(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    x, pads = given[0], _numbers(given[1])
    half = len(pads) // 2
    return f.pad(x, (pads[half - 1], pads[-1]), a["mode"])


def _shape(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    return torch.tensor(given[0].shape[a.get("start", 0) :], dtype=torch.int64)


def _dequantised(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    whole, scale, zero = given
    parts: Tensor = (whole.float() - zero.float()) * scale
    return parts


def _expanded(a: Mapping[str, Any], given: Sequence[Any]) -> Tensor:
    x: Tensor = given[0]
    shape = _numbers(given[1])
    return x.expand(torch.broadcast_shapes(x.shape, shape))


_BYTES = (torch.int8, torch.uint8)
_worked_out: dict[int, tuple[Tensor, Any]] = {}


def _once(weight: Tensor, make: Callable[[], Any]) -> Any:
    """What ``make`` makes of ``weight``, which stays for good, made when it is first used."""
    if id(weight) not in _worked_out:
        _worked_out[id(weight)] = (weight, make())  # kept, so that no other takes its number
    return _worked_out[id(weight)][1]


OPERATORS: Mapping[str, Operator] = {
    "Add": lambda a, g: g[0] + g[1],
    "And": lambda a, g: g[0] & g[1],
    "Atan": lambda a, g: g[0].nan_to_num().atan(),  # the phase of silence: any will do
    "Cast": _cast,
    "Clip": lambda a, g: g[0].clamp(min=float(g[1])),
    "Concat": lambda a, g: torch.cat(list(g), a["axis"]),
    "ConstantOfShape": lambda a, g: torch.full(_numbers(g[0]), a["value"]),
    "Conv": _convolved,
    "ConvInteger": _convolved_in_eight_bits,
    "ConvTranspose": _turned_convolution,
    "Cos": lambda a, g: g[0].cos(),
    "CumSum": lambda a, g: g[0].cumsum(int(g[1])),
    "DequantizeLinear": _dequantised,
    "Div": lambda a, g: g[0] / g[1] if g[0].is_floating_point() else g[0] // g[1],
    "DynamicQuantizeLSTM": _recurrent,
    "DynamicQuantizeLinear": lambda a, g: (g[0], torch.tensor(1.0), torch.tensor(0.0)),
    "Equal": lambda a, g: g[0] == g[1],
    "Exp": lambda a, g: g[0].exp(),
    "Expand": _expanded,
    "FastGelu": lambda a, g: f.gelu(g[0] + g[1], approximate="tanh"),
    "Floor": lambda a, g: g[0].floor(),
    "FusedMatMul": lambda a, g: a["alpha"] * (g[0].mT @ g[1]),
    "Gather": _gather,
    "Greater": lambda a, g: g[0] > g[1],
    "GreaterOrEqual": lambda a, g: g[0] >= g[1],
    "LayerNormalization": lambda a, g: _normalised(g[0], g[1], g[2], a["epsilon"]),
    "LeakyRelu": lambda a, g: f.leaky_relu(g[0], a["alpha"]),
    "Less": lambda a, g: g[0] < g[1],
    "MatMul": lambda a, g: g[0] @ g[1],
    "MatMulInteger": _product_in_eight_bits,
    "Mul": lambda a, g: g[0] * g[1],
    "NonZero": lambda a, g: g[0].nonzero().T,
    "Pad": _padded,
    "Pow": lambda a, g: g[0] ** g[1],
    "Range": lambda a, g: torch.arange(int(g[0]), int(g[1]), int(g[2])),
    "ReduceMean": lambda a, g: g[0].mean(_numbers(g[1]), keepdim=True),
    "ReduceSum": lambda a, g: g[0].sum(_numbers(g[1]), keepdim=bool(a["keepdims"])),
    "Reshape": _reshape,
    "Resize": _resized,
    "Round": lambda a, g: g[0].round(),
    "STFT": _stft,
    "ScatterND": _scattered,
    "Shape": _shape,
    "Sigmoid": lambda a, g: g[0].sigmoid(),
    "Sin": lambda a, g: g[0].sin(),
    "SkipLayerNormalization": lambda a, g: _normalised(g[0] + g[1], g[2], g[3], a["epsilon"]),
    "Slice": _slice,
    "Softmax": lambda a, g: g[0].softmax(a["axis"]),
    "Split": lambda a, g: tuple(g[0].split(_numbers(g[1]), a["axis"])),
    "Sqrt": lambda a, g: g[0].sqrt(),
    "Squeeze": lambda a, g: g[0].squeeze(tuple(_numbers(g[1]))),
    "Sub": lambda a, g: g[0] - g[1],
    "Tanh": lambda a, g: g[0].tanh(),
    "Transpose": lambda a, g: g[0].permute(a["perm"]),
    "Unsqueeze": _unsqueezed,
    "Where": lambda a, g: torch.where(g[0], *(v.to(g[0].device) for v in g[1:])),
}
_BY_NUMBERS = frozenset((
    "Expand", "Gather", "Pad", "ReduceMean", "ReduceSum", "Reshape", "Resize", "STFT", "Slice",
    "Split", "Squeeze", "Unsqueeze",
))  # fmt: skip
