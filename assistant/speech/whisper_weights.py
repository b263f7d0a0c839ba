"""Reads the weights of a Whisper decoder out of a model file in CTranslate2's form.

The file holds, in little-endian numbers: version, name of the model's kind, its revision, the
number of variables; then for each its name, number of dimensions, dimensions, a code for the
kind of number, the number of bytes and the bytes; then aliases, which are left unread here. It
is the form that ``ctranslate2.specs.model_spec.ModelSpec`` writes (version 6).
"""

from __future__ import annotations

import struct
from pathlib import Path
from typing import BinaryIO

import numpy as np
from numpy.typing import NDArray

from assistant.speech.errors import SpeechError

Weights = dict[str, NDArray[np.float32]]
"""Name of a variable, without the part that all begin with -> its numbers."""

_VERSION = 6
_KINDS = {0: np.float32, 1: np.int8, 2: np.int16, 3: np.int32, 4: np.float16}


def read_weights(path: Path, part: str = "decoder/") -> Weights:
    """Every variable of the model file ``path`` whose name begins with ``part``, as float32.

    Raises:
        SpeechError: the file is of another form or version, or breaks off.
    """
    try:
        with path.open("rb") as file:
            return dict(_read(file, path, part))
    except (OSError, struct.error, ValueError, UnicodeDecodeError) as error:
        raise SpeechError(f"{path} is no whole Whisper model; fetch it anew ({error}).") from error


def _read(file: BinaryIO, path: Path, part: str) -> list[tuple[str, NDArray[np.float32]]]:
    version = _number(file, "I")
    if version != _VERSION:
        raise SpeechError(f"{path} is of form {version}, and only form {_VERSION} is known.")
    _text(file)
    _number(file, "I")
    found = []
    for _ in range(_number(file, "I")):
        name = _text(file)
        shape = [_number(file, "I") for _ in range(_number(file, "B"))]
        kind = _number(file, "B")
        size = _number(file, "I")
        if not name.startswith(part):
            file.seek(size, 1)
            continue
        numbers = np.frombuffer(file.read(size), _KINDS.get(kind, np.uint8))
        found.append((name[len(part) :], numbers.reshape(shape).astype(np.float32)))
    return found


def _number(file: BinaryIO, form: str) -> int:
    (value,) = struct.unpack(f"<{form}", file.read(struct.calcsize(form)))
    return int(value)


def _text(file: BinaryIO) -> str:
    return file.read(_number(file, "H")).rstrip(b"\0").decode()
