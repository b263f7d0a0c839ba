"""The acoustic model: from sound to the log probability of every phone, 50 times a second."""

from __future__ import annotations

import json
import os
from collections.abc import Sequence
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
    "UW", "V", "W", "Y", "Z", "ZH", "IY0",
]  # fmt: skip
"""The 39 phones of the CMU dictionary, and the unstressed -y at the end of "sixty".

In posteriors, number 0 is the blank; these follow. The last is the CMU dictionary's IY0: nothing
else tells "sixty newton" from "sixteen newton" when the speaker says one N for two.
"""

_BLANK = "<blank>"

LABELS = {phone: number for number, phone in enumerate(PHONES, 1)}
"""Phone -> its column in posteriors."""

_VOWELS = {
    "AA", "AE", "AH", "AO", "AW", "AY", "EH", "ER", "EY", "IH", "IY", "OW", "OY", "UH", "UW",
}  # fmt: skip
CONSONANTS = frozenset(number for phone, number in LABELS.items() if phone[:2] not in _VOWELS)
"""Columns of phones that are no vowels."""


def labels_of(word: str, phones: Sequence[str]) -> tuple[int, ...]:
    """One pronunciation of ``word`` as columns: a final -y that is not its only vowel is IY0.

    Raises:
        KeyError: a phone is none of these.
    """
    labels = tuple(LABELS[phone] for phone in phones)
    unstressed = word.endswith("y") and phones[-1] == "IY" and not _VOWELS.isdisjoint(phones[:-1])
    return (*labels[:-1], LABELS["IY0"]) if unstressed else labels


class Acoustics(Protocol):
    """Anything that makes phone posteriors of sound."""

    def __call__(self, samples: Samples) -> Matrix:
        """Log probabilities in nats, shape (frames, 41); each row's probabilities add up to 1."""


FLOOR = 1e-4
"""The share of every frame's probability that is spread evenly: no phone is ever impossible."""


def must_be_of_these_phones(card: Path) -> None:
    """Raises:
    SpeechError: ``card``, the JSON file beside a model, is missing or tells of other phones.
    """
    try:
        told: dict[str, Any] = json.loads(card.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise SpeechError(f"The model's card {card} cannot be read: {error}.") from error
    if told.get("phones") != [_BLANK, *PHONES]:
        raise SpeechError(f"{card} is of other phones than this program; install it again.")


class PhoneModel:
    """The trained network in ``path`` (ONNX), run by onnxruntime on ``threads`` cores at most.

    Its outputs are taken as they are. Softened by a temperature in every frame (the card names
    one) hundreds of quiet frames become doubtful, each a little: of 240 digits none then led all
    else by 5 nats. Leads of whole phrases hold as they are: see docs/hearing-measured.md.

    Its card is ``phones.json`` in the same folder.

    Raises:
        SpeechError: the file is missing or is not such a network.
    """

    def __init__(self, path: Path, threads: int = 2) -> None:
        import onnxruntime  # here: a session at the keyboard need not wait for it

        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = min(threads, os.cpu_count() or 1)
        options.inter_op_num_threads = 1
        options.enable_cpu_mem_arena = False  # else it keeps what the longest utterance needed
        options.log_severity_level = 3
        # Threads that wait for the next utterance by spinning take processor time from all else.
        options.add_session_config_entry("session.intra_op.allow_spinning", "0")
        if not path.is_file():
            raise SpeechError(f"The speech model {path} is missing; install the program again.")
        must_be_of_these_phones(path.with_name("phones.json"))
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
        return log_probabilities(np.asarray(logits[0], np.float32))


def log_probabilities(logits: Matrix, floor: float = FLOOR) -> Matrix:
    """Log probabilities of ``logits`` (frames, 41), of which ``floor`` is spread evenly."""
    raised = logits.astype(np.float64)
    chances = np.exp(raised - raised.max(axis=1, keepdims=True))
    chances /= chances.sum(axis=1, keepdims=True)
    chances = (1.0 - floor) * chances + floor / chances.shape[1]
    return np.asarray(np.log(chances), np.float32)
