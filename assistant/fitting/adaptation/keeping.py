"""A transform in a profile, and back into the file that the engine reads."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from assistant.fitting.adaptation.acoustic_model import model_folder
from assistant.fitting.adaptation.transform import Transform
from assistant.fitting.adaptation.trying import Tried
from assistant.fitting.profile import Adaptation
from assistant.fitting.taking import Take

_DIGITS = 6


def for_profile(tried: Tried, before: Sequence[Take]) -> Adaptation:
    """``tried`` as the profile keeps it; ``before`` is how the phrases were heard without it."""
    return Adaptation(
        model_sha256=_model(),
        matrix=tried.transform.matrix.round(_DIGITS).tolist(),
        offset=tried.transform.offset.round(_DIGITS).tolist(),
        before=sum(t.right for t in before),
        after=sum(t.right for t in tried.takes),
        of=len(before),
    )


@contextmanager
def engine_file(kept: Adaptation | None) -> Iterator[Path | None]:
    """A file for the engine to be loaded with, gone afterwards.

    None where there is no adaptation, or where it was made for another model than the installed.
    """
    if kept is None or kept.model_sha256 != _model():
        yield None
        return
    transform = Transform(np.array(kept.matrix), np.array(kept.offset))
    with TemporaryDirectory() as folder:
        path = Path(folder) / "speaker.mllr"
        path.write_text(transform.text(), "ascii")
        yield path


def _model() -> str:
    return sha256((model_folder() / "en-us" / "means").read_bytes()).hexdigest()
