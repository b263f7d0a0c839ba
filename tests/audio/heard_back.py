"""What the assistant said, captured from the loudspeaker and recognised again."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterable
from pathlib import Path
from threading import Condition, Thread

import numpy as np

from assistant.language import Language
from assistant.language.pronouncing import JoinedDictionaries, read_dictionary
from assistant.speech.ear import shipped as ear
from assistant.speech.types import SAMPLE_RATE, Samples, Utterance
from assistant.voice.ssml import sentences

NUMBERS = tuple(  # noqa: C409 - one name a word
    [
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
        "twenty",
        "thirty",
        "forty",
        "fifty",
    ]
)
_LEXICON = Path(__file__).with_name("said.dict")
_BLOCK = SAMPLE_RATE // 100
_QUIET = 60  # of 32768; the virtual loudspeaker itself is silent
_GAP = 10  # blocks: 0.1 s, shorter than the 0.19 s of silence between two sentences
_PATIENCE_S = 300.0  # a busy machine may be late
_PAD = np.zeros(SAMPLE_RATE // 4, np.int16)


class Capture:
    """Everything that sounds on the loudspeaker, from now on."""

    def __init__(self, env: dict[str, str], source: str = "horn.monitor") -> None:
        self._recorder = subprocess.Popen(
            ["parec", "-d", source, "--rate=16000", "--channels=1", "--format=s16le",
             "--latency-msec=50"],
            env=env, stdout=subprocess.PIPE,
        )  # fmt: skip
        self._blocks: list[Samples] = []
        self._quiet = 0
        self._grown = Condition()
        Thread(target=self._read, daemon=True).start()

    @property
    def samples(self) -> Samples:
        """Mono at 16 kHz."""
        with self._grown:
            return np.concatenate([np.zeros(0, np.int16), *self._blocks])

    def grows(self, seconds: float) -> bool:
        """Wait until ``seconds`` more were captured."""
        with self._grown:
            enough = sum(map(len, self._blocks)) + seconds * SAMPLE_RATE
            return self._grown.wait_for(lambda: sum(map(len, self._blocks)) >= enough, _PATIENCE_S)

    def falls_quiet(self, blocks: int = 15, patience_s: float = _PATIENCE_S) -> bool:
        """Wait until nothing sounds for ``blocks`` tenths of a second of captured sound."""
        with self._grown:
            self._quiet = 0
            return self._grown.wait_for(lambda: self._quiet >= blocks, patience_s)

    def close(self) -> None:
        """Capture no more."""
        self._recorder.terminate()
        self._recorder.wait(_PATIENCE_S)

    def _read(self) -> None:
        assert self._recorder.stdout is not None
        while data := self._recorder.stdout.read(2 * SAMPLE_RATE // 10):
            block = np.frombuffer(data[: len(data) // 2 * 2], np.int16)
            with self._grown:
                self._blocks.append(block)
                loud = len(block) and int(np.abs(block.astype(int)).max()) > _QUIET
                self._quiet = 0 if loud else self._quiet + 1
                self._grown.notify_all()


def stretches(samples: Samples) -> list[Samples]:
    """The stretches of sound between silences."""
    whole = len(samples) // _BLOCK
    loud = np.abs(samples[: whole * _BLOCK].astype(int)).reshape(whole, _BLOCK).max(axis=1) > _QUIET
    found: list[Samples] = []
    start, quiet = -1, 0
    for at, sounding in enumerate([*loud, *[False] * (_GAP + 1)]):
        if sounding:
            start, quiet = (at if start < 0 else start), 0
        elif start >= 0:
            quiet += 1
            if quiet > _GAP:
                found.append(samples[start * _BLOCK : (at - quiet + 1) * _BLOCK])
                start, quiet = -1, 0
    return found


def plain(text: str) -> str:
    """Words only, as a recogniser gives them."""
    named = re.sub(r"\d", lambda digit: f" {NUMBERS[int(digit[0])]} ", text.lower())
    return " ".join(re.sub(r"[^a-z' ]", " ", named).split())


def candidates(lines: Iterable[str]) -> list[str]:
    """Every sentence of ``lines``, and each that holds numbers with all of them made others.

    All at once, for a value that is spoken wrongly is wrong in its words and in its digits.
    """
    out: dict[str, None] = {}
    for line in lines:
        for sentence in map(plain, sentences(line)):
            out[sentence] = None
            for shift in range(1, len(NUMBERS)):
                out[" ".join(_shifted(word, shift) for word in sentence.split())] = None
    return [x for x in out if x]


def _shifted(word: str, shift: int) -> str:
    if word not in NUMBERS:
        return word
    return NUMBERS[(NUMBERS.index(word) + shift) % len(NUMBERS)]


def understood(pieces: Iterable[Samples], lines: Iterable[str]) -> list[str]:
    """Each piece as one of the candidates, by the shipped recogniser; empty where none."""
    sounds = JoinedDictionaries(read_dictionary(_LEXICON), Language.load("en-US").pronunciations)
    engine = ear.load(sounds)
    wanted = candidates(lines)
    words = tuple(sorted({w for c in wanted for w in c.split()}))
    engine.listen_for(f"#JSGF V1.0; grammar said; public <s> = {' | '.join(wanted)};", words)
    heard = []
    for piece in pieces:
        whole = np.concatenate((_PAD, piece, _PAD))
        found = engine.recognise(Utterance(whole, 0.0, len(whole) / SAMPLE_RATE)).hypotheses
        heard.append(found[0].text if found else "")
    return heard


def transcribed(pieces: Iterable[Samples], place: Path) -> str:
    """Each in words, by the Whisper model at ``place``, which gets no grammar."""
    from faster_whisper import WhisperModel

    # One thread: more wait for each other by spinning.
    model = WhisperModel(str(place), device="cpu", compute_type="int8", cpu_threads=1)
    texts = []
    for piece in pieces:
        sound = piece.astype(np.float32) / 32768
        found, _ = model.transcribe(
            sound, language="en", beam_size=1, condition_on_previous_text=False
        )
        texts += [part.text.strip() for part in found]
    return " ".join(texts)
