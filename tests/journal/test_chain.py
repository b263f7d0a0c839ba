"""The hash of an entry can be computed by anyone from RFC 8785 and FIPS 180-4."""

from __future__ import annotations

from hashlib import sha256
from typing import Any

import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.journal.chain import GENESIS, canonical, link
from assistant.journal.types import Draft

TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(allow_nan=False, allow_infinity=False)
    | TEXTS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(TEXTS, inner, max_size=3),
    max_leaves=8,
)


@settings(max_examples=150)
@given(body=st.dictionaries(TEXTS, VALUES, max_size=4), at=TEXTS, clip=st.none() | TEXTS)
def test_the_hash_is_that_of_the_canonical_json_of_the_whole_entry(
    body: dict[str, Any], at: str, clip: str | None
) -> None:
    """RFC 8785 by the reference library rfc8785, over the entry as one object."""
    entry, text = link("s", 1, GENESIS, Draft("fact", at, body, clip))
    whole: dict[str, Any] = {
        "session": "s", "seq": 1, "prev": GENESIS, "kind": "fact", "at": at, "body": body,
        "clip": clip, "engine": None,
    }  # fmt: skip
    assert entry.hash == sha256(rfc8785.dumps(whole)).hexdigest()
    assert rfc8785.dumps(body).decode() == text


def test_the_example_of_rfc_8785_section_3_2() -> None:
    """Input and output of the RFC's example, written from memory."""
    body = {
        "numbers": [333333333.33333329, 1e30, 4.50, 2e-3, 0.000000000000000000000000001],
        "string": '\u20ac$\u000f\nA\'B"\\\\"/',
        "literals": [None, True, False],
    }
    assert canonical(body) == (
        '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
        '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
    )
