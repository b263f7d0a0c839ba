"""Whisper's encoder out of the catalogue's file, packed small enough to travel.

The file is in CTranslate2's format: a version, the name of the specification, a revision, then
for each variable its name, shape, type and bytes (OpenNMT/CTranslate2, ``model_spec.py``).
Matrices are packed as eight-bit rows, each with its own scale; training moves them anyway.
"""

from __future__ import annotations

import argparse
import struct
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray

Arrays = dict[str, NDArray[np.float32]]
_TYPES = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}


def read_encoder(path: Path) -> Arrays:
    """The encoder's variables by name without their ``encoder/``, as floats.

    Raises:
        ValueError: the file is not of that format, or its encoder is itself packed.
    """
    found: Arrays = {}
    with path.open("rb") as file:
        (version,) = struct.unpack("<I", file.read(4))
        if version < 5:
            raise ValueError(f"{path} is of version {version}; fetch the model again.")
        _text(file)
        file.read(4)
        (count,) = struct.unpack("<I", file.read(4))
        for _ in range(count):
            name = _text(file)
            (rank,) = struct.unpack("<B", file.read(1))
            shape = struct.unpack(f"<{rank}I", file.read(4 * rank))
            kind, size = struct.unpack("<BI", file.read(5))
            data = file.read(size)
            if name.startswith("encoder/"):
                if kind == 1 and rank:
                    raise ValueError(f"{path} is packed already; fetch the float16 model.")
                values = np.frombuffer(data, _TYPES[kind]).reshape(shape)
                found[name.removeprefix("encoder/")] = values.astype(np.float32)
    return found


def _text(file: BinaryIO) -> str:
    (length,) = struct.unpack("<H", file.read(2))
    return file.read(length).rstrip(b"\0").decode()


def pack(arrays: Arrays, path: Path) -> None:
    """Write ``arrays``: matrices and kernels as eight-bit rows, the rest as float16."""
    packed: dict[str, Any] = {}  # arrays; numpy has options beside them
    for name, values in arrays.items():
        key = name.replace("/", ".")
        if values.ndim > 1:
            rows = values.reshape(len(values), -1)
            scale = np.maximum(np.abs(rows).max(1), 1e-8) / 127
            packed[key] = np.round(rows / scale[:, None]).astype(np.int8).reshape(values.shape)
            packed[key + ":scale"] = scale.astype(np.float32)
        else:
            packed[key] = values.astype(np.float16)
    np.savez_compressed(path, **packed)


def unpack(path: Path) -> Arrays:
    """What :func:`pack` wrote, as floats, with dots in the names for strokes."""
    found: Arrays = {}
    with np.load(path) as packed:
        for name in packed.files:
            if name.endswith(":scale"):
                continue
            values = packed[name].astype(np.float32)
            if f"{name}:scale" in packed.files:
                scale = packed[f"{name}:scale"]
                values *= scale.reshape(-1, *[1] * (values.ndim - 1))
            found[name] = values
    return found


def main() -> None:
    """Packs the encoder of a fetched model."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("model", type=Path, help="the catalogue's model.bin")
    parser.add_argument("out", type=Path)
    given = parser.parse_args()
    pack(read_encoder(given.model), given.out)


if __name__ == "__main__":
    main()
