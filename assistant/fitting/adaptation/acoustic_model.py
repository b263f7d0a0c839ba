"""The Gaussians of the bundled PocketSphinx model, read from its files.

The model is phonetically tied: every phone has one codebook of Gaussians for each of three
streams (cepstra, their first and their second differences), and every senone (the state of a
phone in its context) its own weights over the codebook of its phone. File formats as in CMU
Sphinx's S3 files, `sendump` and binary `mdef`; each names its own fields in its header.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
import pocketsphinx
from numpy.typing import NDArray

from assistant.fitting.errors import FittingError

Floats = NDArray[np.float64]

_NATS = 1024 * np.log(1.0001)  # weights are whole numbers of 1024 units of base 1.0001
_LEAST_VARIANCE = 1e-4  # as the decoder's own floor


@dataclass(frozen=True)
class AcousticModel:
    """``means`` and ``variances``: phones x streams x Gaussians x 13.

    ``weights``: streams x Gaussians x senones, natural logarithms. ``phones``: names in the
    order of the codebooks.
    """

    phones: tuple[str, ...]
    means: Floats
    variances: Floats
    weights: Floats


def model_folder() -> Path:
    """Where the bundled English model lies."""
    return Path(pocketsphinx.get_model_path()) / "en-us"


@lru_cache(maxsize=1)
def bundled_model() -> AcousticModel:
    """Read the model of the installed library.

    Raises:
        FittingError: it is not of the kind that this code can adapt.
    """
    folder = model_folder() / "en-us"
    try:
        model = AcousticModel(
            _phones((folder / "mdef").read_bytes()),
            _gaussians((folder / "means").read_bytes()),
            np.maximum(_gaussians((folder / "variances").read_bytes()), _LEAST_VARIANCE),
            _weights((folder / "sendump").read_bytes()),
        )
    except (OSError, struct.error, ValueError, IndexError):
        raise FittingError(
            f"The acoustic model in {folder} cannot be read; install pocketsphinx again."
        ) from None
    if model.means.shape[:2] != (len(model.phones), 3) or model.weights.shape[0] != 3:
        raise FittingError(f"The acoustic model in {folder} is of another kind; not adapted.")
    return model


def _gaussians(data: bytes) -> Floats:
    """An S3 file of means or variances: text header, byte order mark, sizes, 32-bit floats."""
    at = data.index(b"endhdr\n") + len(b"endhdr\n")
    books, streams, gaussians = struct.unpack_from("<3i", data, at + 4)
    at += 16
    lengths = set(struct.unpack_from(f"<{streams}i", data, at))
    (count,) = struct.unpack_from("<i", data, at + 4 * streams)
    if len(lengths) != 1:
        raise ValueError("streams of different lengths")
    values = np.frombuffer(data, "<f4", count, at + 4 * streams + 4)
    return values.reshape(books, streams, gaussians, lengths.pop()).astype(np.float64)


def _weights(data: bytes) -> Floats:
    """A sendump: strings with their lengths until one of length 0, sizes, bytes."""
    at, streams = 0, 0
    while length := struct.unpack_from("<i", data, at)[0]:
        text = data[at + 4 : at + 4 + length].rstrip(b"\0")
        if text.startswith(b"feature_count "):
            streams = int(text.split()[1])
        at += 4 + length
    gaussians, senones = struct.unpack_from("<2i", data, at + 4)
    costs = np.frombuffer(data, np.uint8, streams * gaussians * senones, at + 12)
    weights: Floats = -_NATS * costs.reshape(streams, gaussians, senones).astype(np.float64)
    return weights


def _phones(data: bytes) -> tuple[str, ...]:
    """Names of the phones from a binary mdef: mark, version, description, ten sizes, names."""
    if data[:4] != b"BMDF":
        raise ValueError("another byte order")
    at = 12 + struct.unpack_from("<i", data, 8)[0]
    (count,) = struct.unpack_from("<i", data, at)
    return tuple(n.decode() for n in data[at + 40 :].split(b"\0", count)[:count])
