"""The acoustic model: from sound to the log probability of every phone, 50 times a second."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Protocol

import numpy as np

from assistant.speech.ear.features import Matrix, log_mel
from assistant.speech.errors import SpeechError
from assistant.speech.types import Samples

FRAME_S = 0.02
"""Length of one frame of posteriors, in seconds."""

PHONES = [
    "AA", "AE", "AH", "AO", "AW", "AY", "B", "CH", "D", "DH", "EH", "ER", "EY", "F", "G", "HH",
    "IH", "IY", "JH", "K", "L", "M", "N", "NG", "OW", "OY", "P", "R", "S", "SH", "T", "TH", "UH",
    "UW", "V", "W", "Y", "Z", "ZH",
]  # fmt: skip
"""The 39 phones of the CMU dictionary. In posteriors, number 0 is the blank; these follow."""

_BLANK = "<blank>"

LABELS = {phone: number for number, phone in enumerate(PHONES, 1)}
"""Phone -> its column in posteriors."""


class Acoustics(Protocol):
    """Anything that makes phone posteriors of sound."""

    def __call__(self, samples: Samples) -> Matrix:
        """Log probabilities in nats, shape (frames, 40); each row's probabilities add up to 1."""


@dataclass(frozen=True)
class Card:
    """What goes with a trained model: how it was calibrated on voices that it never heard.

    ``temperature`` divides the network's outputs. ``floor``: the share of every frame's
    probability that is spread evenly, so that no phone is ever held to be impossible.
    """

    temperature: float = 1.0
    floor: float = 1e-4

    @staticmethod
    def read(path: Path) -> Card:
        """From ``phones.json`` beside the model.

        Raises:
            SpeechError: the file cannot be read, or is of other phones.
        """
        try:
            told: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        except (OSError, ValueError) as error:
            raise SpeechError(f"The model's card {path} cannot be read: {error}.") from error
        if list(told.get("phones", [_BLANK, *PHONES])) != [_BLANK, *PHONES]:
            raise SpeechError(f"{path} is of other phones than this program; install it again.")
        usual = Card()
        return Card(
            float(told.get("temperature", usual.temperature)),
            float(told.get("floor", usual.floor)),
        )


class PhoneModel:
    """The trained network in ``path`` (ONNX), run by onnxruntime on ``threads`` cores at most.

    Its card is ``phones.json`` in the same folder.

    Raises:
        SpeechError: the file is missing or is no such network.
    """

    def __init__(self, path: Path, threads: int = 2) -> None:
        import onnxruntime  # here: a session at the keyboard need not wait for it

        card = path.with_name("phones.json")
        self.card = Card.read(card) if card.is_file() else Card()
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = min(threads, os.cpu_count() or 1)
        options.inter_op_num_threads = 1
        options.enable_cpu_mem_arena = False  # else it keeps what the longest utterance needed
        options.log_severity_level = 3
        if not path.is_file():
            raise SpeechError(f"The speech model {path} is missing; install the program again.")
        try:
            self._session: Any = onnxruntime.InferenceSession(
                str(path), options, providers=["CPUExecutionProvider"]
            )
        except Exception as error:  # onnxruntime's own kinds of errors share no base class
            raise SpeechError(
                f"The speech model {path} is damaged; install the program again."
            ) from error

    def __call__(self, samples: Samples) -> Matrix:
        """As :class:`Acoustics`."""
        mel = log_mel(samples)
        mel = mel[:, : mel.shape[1] // 2 * 2]
        (logits,) = self._session.run(["logits"], {"mel": mel[None]})
        return calibrated(np.asarray(logits[0], np.float32), self.card)


def calibrated(logits: Matrix, card: Card) -> Matrix:
    """Log probabilities of ``logits`` (frames, 40), softened as ``card`` says."""
    scaled = logits.astype(np.float64) / card.temperature
    scaled -= scaled.max(axis=1, keepdims=True)
    chances = np.exp(scaled)
    chances /= chances.sum(axis=1, keepdims=True)
    chances = (1.0 - card.floor) * chances + card.floor / chances.shape[1]
    return np.asarray(np.log(chances), np.float32)
