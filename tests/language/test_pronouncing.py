"""The large dictionary is read a word at a time, and says the same as when all of it is read."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest

from assistant.language.pronouncing import (
    Dictionary,
    GraphemeToPhoneme,
    JoinedDictionaries,
    bundled_dictionary,
    read_dictionary,
)


@pytest.mark.uncounted
def test_the_bundled_dictionary_is_the_file_that_pocketsphinx_brings() -> None:
    spec = find_spec("pocketsphinx")
    assert spec is not None
    assert spec.origin is not None
    whole = read_dictionary(Path(spec.origin).parent / "model" / "en-us" / "cmudict-en-us.dict")
    assert len(whole) > 100_000
    assert dict(bundled_dictionary()) == whole
    assert len(bundled_dictionary()) == len(whole)


def test_variants_and_comments() -> None:
    found = Dictionary("# a comment\n;;; another\nread R IY D\nread(2) R EH D\nreader R IY D ER\n")
    assert found["read"] == (("R", "IY", "D"), ("R", "EH", "D"))
    assert list(found) == ["read", "reader"]
    assert "read" in found
    assert "lead" not in found
    assert found.get("lead") is None
    assert not Dictionary("")


def test_one_dictionary_before_another_or_both() -> None:
    own, bundled = {"read": (("R",),), "thou": (("TH",),)}, {"read": (("D",),), "go": (("G",),)}
    assert dict(JoinedDictionaries(own, bundled)) == {
        "read": (("R",),), "thou": (("TH",),), "go": (("G",),)
    }  # fmt: skip
    assert JoinedDictionaries(own, bundled, both=True)["read"] == (("R",), ("D",))
    assert "go" in JoinedDictionaries(own, bundled)
    assert "lead" not in JoinedDictionaries(own, bundled)
    assert not JoinedDictionaries({}, {})
    assert GraphemeToPhoneme(JoinedDictionaries({}, {}), {"a": ("A",)})["aa"] == (("A", "A"),)
