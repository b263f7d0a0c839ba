"""The network: Whisper's encoder with one linear layer over phones at its end.

Layout after Radford et al., *Robust Speech Recognition via Large-Scale Weak Supervision* (2022):
two convolutions (the second halves the frame rate), sinusoid positions, pre-norm transformer
layers. Names of the variables are the catalogue file's, with dots.
"""

from __future__ import annotations

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor, nn
from torch.nn import functional

from assistant.speech.ear.posteriors import LABELS
from training.phones import CLASSES

MELS = 80
POSITIONS = 768
"""The longest window, in frames of 20 ms."""


class Layer(nn.Module):
    """One pre-norm transformer layer."""

    def __init__(self, width: int, heads: int) -> None:
        super().__init__()
        self.heads = heads
        self.before_attention = nn.LayerNorm(width)
        self.qkv = nn.Linear(width, 3 * width)
        self.out = nn.Linear(width, width)
        self.before_ffn = nn.LayerNorm(width)
        self.wide = nn.Linear(width, 4 * width)
        self.narrow = nn.Linear(4 * width, width)

    def forward(self, x: Tensor) -> Tensor:
        batch, frames, width = x.shape
        qkv = self.qkv(self.before_attention(x)).view(batch, frames, 3, self.heads, -1)
        q, k, v = qkv.permute(2, 0, 3, 1, 4)
        heard = functional.scaled_dot_product_attention(q, k, v)
        x = x + self.out(heard.transpose(1, 2).reshape(batch, frames, width))
        fed: Tensor = self.narrow(functional.gelu(self.wide(self.before_ffn(x))))
        return x + fed


class PhoneModel(nn.Module):
    """Log-mel (batch, 80, T), T even -> scores of the phones (batch, T/2, 41)."""

    positions: Tensor

    def __init__(self, width: int, layers: int, heads: int) -> None:
        super().__init__()
        self.conv1 = nn.Conv1d(MELS, width, 3, padding=1)
        self.conv2 = nn.Conv1d(width, width, 3, stride=2, padding=1)
        self.layers = nn.ModuleList(Layer(width, heads) for _ in range(layers))
        self.norm = nn.LayerNorm(width)
        self.head = nn.Linear(width, CLASSES)
        self.register_buffer("positions", sinusoids(POSITIONS, width), persistent=False)

    def forward(self, mel: Tensor) -> Tensor:
        x = functional.gelu(self.conv1(mel))
        x = functional.gelu(self.conv2(x)).transpose(1, 2)
        x = x + self.positions[: x.shape[1]].to(x.dtype)
        for layer in self.layers:
            x = layer(x)
        scores: Tensor = self.head(self.norm(x))
        return scores


def sinusoids(length: int, width: int) -> Tensor:
    """Whisper's positions: sines in the first half of the channels, cosines in the second."""
    rates = torch.exp(-np.log(10_000.0) / (width // 2 - 1) * torch.arange(width // 2))
    angles = torch.arange(length)[:, None] * rates[None]
    return torch.cat([angles.sin(), angles.cos()], 1)


def names(layers: int) -> dict[str, str]:
    """Variable of the network -> its name in the catalogue's file."""
    found = {
        **{f"conv{n}.{part}": f"conv{n}.{part}" for n in (1, 2) for part in ("weight", "bias")},
        "norm.weight": "layer_norm.gamma",
        "norm.bias": "layer_norm.beta",
    }
    linear = {
        "qkv": "self_attention.linear_0", "out": "self_attention.linear_1",
        "wide": "ffn.linear_0", "narrow": "ffn.linear_1",
    }  # fmt: skip
    norms = {"before_attention": "self_attention.layer_norm", "before_ffn": "ffn.layer_norm"}
    for n in range(layers):
        for ours, theirs in linear.items():
            for part in ("weight", "bias"):
                found[f"layers.{n}.{ours}.{part}"] = f"layer_{n}.{theirs}.{part}"
        for ours, theirs in norms.items():
            found[f"layers.{n}.{ours}.weight"] = f"layer_{n}.{theirs}.gamma"
            found[f"layers.{n}.{ours}.bias"] = f"layer_{n}.{theirs}.beta"
    return found


def grown_from(arrays: dict[str, NDArray[np.float32]]) -> PhoneModel:
    """A network with the encoder's variables, its last layer small at random."""
    width = arrays["conv1.bias"].shape[0]
    layers = sum(name.endswith("ffn.linear_0.bias") for name in arrays)
    model = PhoneModel(width, layers, width // 64)
    state = model.state_dict()
    for ours, theirs in names(layers).items():
        state[ours] = torch.from_numpy(arrays[theirs].reshape(tuple(state[ours].shape)).copy())
    model.load_state_dict(state)
    return model


def restored(arrays: dict[str, NDArray[np.float32]]) -> PhoneModel:
    """The network with the variables that :func:`as_arrays` gave."""
    width = arrays["conv1.bias"].shape[0]
    layers = sum(name.endswith("wide.bias") for name in arrays)
    model = PhoneModel(width, layers, width // 64)
    whole = with_unstressed(arrays)
    model.load_state_dict({name: torch.from_numpy(v.copy()) for name, v in whole.items()})
    return model


def with_unstressed(arrays: dict[str, NDArray[np.float32]]) -> dict[str, NDArray[np.float32]]:
    """A network from before the unstressed -y was a phone, with it: half of what IY was."""
    weight, bias = arrays["head.weight"], arrays["head.bias"]
    if len(bias) == CLASSES:
        return arrays
    stressed = LABELS["IY"]
    bias = np.append(bias, bias[stressed])
    bias[[stressed, -1]] -= np.float32(np.log(2))
    return {**arrays, "head.weight": np.vstack([weight, weight[stressed]]), "head.bias": bias}


def as_arrays(model: nn.Module) -> dict[str, NDArray[np.float32]]:
    """The variables by name, as floats."""
    return {name: v.detach().float().cpu().numpy() for name, v in model.state_dict().items()}
