"""Maximum likelihood linear regression of the model's means (Leggetter and Woodland 1995).

One affine map a stream for all Gaussians: new mean = A mean + b. Every row of it is the weighted
least squares solution that makes the speaker's aligned frames most likely; variances stay. A weak
prior towards "no change" keeps it solvable when little was said.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from assistant.fitting.adaptation.acoustic_model import AcousticModel, Floats
from assistant.fitting.adaptation.aligning import Stretch

LEAST_FRAMES = 500
"""Five seconds of speech; a map of 182 numbers a stream wants that much (no source, see docs)."""

_PRIOR = 1e-3  # of the mean weight of a row


@dataclass(frozen=True)
class Transform:
    """``matrix``: streams x 13 x 13, ``offset``: streams x 13."""

    matrix: Floats
    offset: Floats

    def text(self) -> str:
        """The file that PocketSphinx's ``mllr`` setting reads: one class, variances as they are."""
        lines = ["1", str(len(self.matrix))]
        for matrix, offset in zip(self.matrix, self.offset, strict=True):
            lines.append(str(len(offset)))
            lines += [_row(row) for row in matrix]
            lines += [_row(offset), _row(np.ones(len(offset)))]
        return "\n".join(lines) + "\n"


def estimate(
    model: AcousticModel, stretches: Iterable[Stretch], prior: float = _PRIOR
) -> Transform | None:
    """The transform for a speaker's aligned speech; None when it is too little to tell."""
    streams, size = model.means.shape[1], model.means.shape[3]
    left = np.zeros((streams, size, size + 1, size + 1))
    right = np.zeros((streams, size, size + 1))
    frames = 0
    for stretch in stretches:
        frames += len(stretch.features)
        for s in range(streams):
            mean, variance = model.means[stretch.phone, s], model.variances[stretch.phone, s]
            shares = _shares(
                stretch.features[:, s], mean, variance, model.weights[s, :, stretch.senone]
            )
            extended = np.hstack((np.ones((len(mean), 1)), mean))
            weight = shares.sum(axis=0)[:, None] / variance
            left[s] += np.einsum("gi,ga,gb->iab", weight, extended, extended)
            right[s] += np.einsum(
                "gi,ga->ia", (shares.T @ stretch.features[:, s]) / variance, extended
            )
    if frames < LEAST_FRAMES:
        return None
    identity = np.hstack((np.zeros((size, 1)), np.eye(size)))
    strength = prior * np.einsum("siaa->si", left) / (size + 1)
    ridge = strength[..., None, None] * np.eye(size + 1)
    rows = np.linalg.solve(left + ridge, (right + strength[..., None] * identity)[..., None])
    solved = rows[..., 0]
    return Transform(solved[..., 1:], solved[..., 0])


def _shares(frames: Floats, mean: Floats, variance: Floats, weights: Floats) -> Floats:
    """How much each Gaussian answers for each frame: frames x Gaussians, rows add up to one."""
    apart = ((frames[:, None] - mean) ** 2 / variance).sum(axis=2)
    logs = weights - 0.5 * (np.log(variance).sum(axis=1) + apart)
    shares = np.exp(logs - logs.max(axis=1, keepdims=True))
    return np.asarray(shares / shares.sum(axis=1, keepdims=True))


def _row(values: Floats) -> str:
    return " ".join(f"{value:.6f}" for value in values)
