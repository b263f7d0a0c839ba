"""A refusal is checked by its English words, which must make one sentence."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from assistant.language.english import in_english
from assistant.quantities.wrench import TighteningError


@contextmanager
def refused(part: str) -> Iterator[None]:
    """A torque is refused in a sentence that holds ``part`` (a regular expression)."""
    with pytest.raises(TighteningError) as caught:
        yield
    sentence = in_english(caught.value.problem)
    assert re.search(part, sentence), sentence
    assert sentence.endswith(".")
