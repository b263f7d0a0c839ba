"""The tokenizer of a Whisper model, with the merge that published files lack.

A byte pair encoding has a token for every merge: the first is token 256 (after the 256 bytes), the
second 257, and so on. The ``tokenizer.json`` that goes round with Whisper models in CTranslate2
form has token 256, a space and "t", but not the merge that makes it: the conversion took the first
line of the list of merges for its heading. Every word that begins with "t" then falls apart
(" two" into " " and "two", " thou" into " ", "th" and "ou"), which is not how the model was
trained to write it and counts as most unlikely.
"""

from __future__ import annotations

import json
from typing import Any

_FIRST = 256


def mended(tokenizer: Any) -> Any:
    """``tokenizer`` (of the library ``tokenizers``), with its first merge where that is missing."""
    first = tokenizer.id_to_token(_FIRST) or ""
    if len(first) != 2 or tokenizer.encode(_written(first), add_special_tokens=False).ids == [
        _FIRST
    ]:
        return tokenizer
    plan = json.loads(tokenizer.to_str())
    plan["model"]["merges"].insert(0, list(first))
    return type(tokenizer).from_str(json.dumps(plan, ensure_ascii=False))


def _written(token: str) -> str:
    """A token of two bytes as the text that it stands for; "Ġ" is the byte of a space."""
    return token.replace("Ġ", " ")
