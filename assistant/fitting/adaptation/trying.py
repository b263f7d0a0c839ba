"""Whether a transform helps this builder: tried on phrases that it was not made from."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from assistant.fitting.adaptation.acoustic_model import bundled_model
from assistant.fitting.adaptation.aligning import Aligner, Stretch
from assistant.fitting.adaptation.transform import Transform, estimate
from assistant.fitting.taking import Checker, Take
from assistant.language import Language
from assistant.speech.lexicon import Pronunciations
from assistant.speech.types import Engine

Load = Callable[[Path], Engine]
"""A listener whose acoustic model is moved by the transform in a file."""


@dataclass(frozen=True)
class Tried:
    """A transform from all phrases, and how each phrase was heard by one from the other half."""

    transform: Transform
    takes: tuple[Take, ...]

    def helps(self, before: Sequence[Take]) -> bool:
        """Whether more was heard right than ``before`` it, and no more taken for something else."""
        return _right(self.takes) > _right(before) and _misled(self.takes) <= _misled(before)


def try_out(
    takes: Sequence[Take], language: Language, load: Load, lexicon: Path | Pronunciations | None
) -> Tried | None:
    """Make a transform from each half of the phrases and hear the other half with it.

    None when there is too little speech to make one.
    """
    aligner = Aligner(lexicon)
    stretches = [_stretches(aligner, take) for take in takes]
    whole = _estimate(stretches)
    halves = [_estimate(stretches[1 - half :: 2]) for half in (0, 1)]
    if whole is None or halves[0] is None or halves[1] is None:
        return None
    heard: list[Take] = list(takes)
    for half, transform in enumerate(halves):
        assert transform is not None
        with TemporaryDirectory() as folder:
            path = Path(folder) / "speaker.mllr"
            path.write_text(transform.text(), "ascii")
            checker = Checker(load(path), language)
        for at in range(half, len(takes), 2):
            if takes[at].utterances:
                heard[at] = checker.again(takes[at].asked, takes[at].utterances)
    return Tried(whole, tuple(heard))


def _stretches(aligner: Aligner, take: Take) -> tuple[Stretch, ...]:
    # A phrase in pieces cannot be told from a phrase and a cough.
    if len(take.utterances) != 1:
        return ()
    return aligner.align(take.utterances[0].samples, take.asked.text)


def _estimate(stretches: Iterable[Iterable[Stretch]]) -> Transform | None:
    return estimate(bundled_model(), (s for of_one in stretches for s in of_one))


def _right(takes: Sequence[Take]) -> int:
    return sum(t.right for t in takes)


def _misled(takes: Sequence[Take]) -> int:
    return sum(t.misled for t in takes)
