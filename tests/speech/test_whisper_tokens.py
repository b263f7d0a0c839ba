"""The tokenizer's missing merge is put back; a whole tokenizer stays what it is."""

from __future__ import annotations

import json
from typing import Any

import pytest
import tokenizers

from assistant.models.places import best_installed
from assistant.speech.whisper_tokens import mended

BYTES = [chr(0x100 + n) for n in range(256 - 3)]  # stand-ins, so that the first merge is 256


def byte_pairs(first_merge: bool) -> Any:
    """A byte pair encoding of a few letters, as Whisper's is made, by the library itself."""
    vocabulary = ["w", "o", "t", *BYTES[:-1], "Ġ"][:256]
    vocabulary += ["Ġt", "wo", "Ġtwo"]
    merges = [["Ġ", "t"], ["w", "o"], ["Ġt", "wo"]]
    tokenizer = tokenizers.Tokenizer(tokenizers.models.BPE())
    tokenizer.pre_tokenizer = tokenizers.pre_tokenizers.ByteLevel(add_prefix_space=False)
    plan = json.loads(tokenizer.to_str())
    plan["model"]["vocab"] = {token: number for number, token in enumerate(vocabulary)}
    plan["model"]["merges"] = merges[0 if first_merge else 1 :]
    return tokenizers.Tokenizer.from_str(json.dumps(plan))


def test_a_missing_first_merge_is_put_back() -> None:
    broken = byte_pairs(first_merge=False)
    assert broken.encode(" two").tokens != ["Ġtwo"]
    assert mended(broken).encode(" two").tokens == ["Ġtwo"]


def test_a_whole_tokenizer_is_left_alone() -> None:
    whole = byte_pairs(first_merge=True)
    assert mended(whole) is whole


@pytest.mark.skipif(best_installed("whisper") is None, reason="no Whisper model is installed")
def test_words_of_the_trade_are_what_the_model_s_vocabulary_has_them_as() -> None:
    """Against the vocabulary that the model's makers publish beside it."""
    folder = best_installed("whisper")
    assert folder is not None
    known = (folder / "vocabulary.txt").read_text(encoding="utf-8").splitlines()
    tokenizer = mended(tokenizers.Tokenizer.from_file(str(folder / "tokenizer.json")))
    for word in ("two", "three", "ten", "twelve", "twenty", "thirty", "thou", "torque", "take"):
        ids = tokenizer.encode(f" {word}", add_special_tokens=False).ids
        assert [known[i] for i in ids] == [f"Ġ{word}"]
