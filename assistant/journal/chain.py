"""The hash chain: each entry's hash covers all its fields and the hash of the one before.

The hash is SHA-256 over the canonical JSON (RFC 8785) of the object with the members ``at``,
``body``, ``clip``, ``engine``, ``kind``, ``prev``, ``seq`` and ``session``, in UTF-8. Anybody can
compute it again from an exported record, in any language.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

import rfc8785

from assistant.journal.types import Draft, Entry, JournalError

GENESIS = "0" * 64
"""``prev`` of the first entry of a session."""


def canonical(body: dict[str, Any]) -> str:
    """``body`` as RFC 8785 canonical JSON.

    Raises:
        JournalError: it holds something that JSON cannot carry (NaN, a lone surrogate, a set).
    """
    try:
        return rfc8785.dumps(body).decode()
    except (rfc8785.CanonicalizationError, UnicodeError) as fault:
        raise JournalError(
            f"An entry cannot be written as JSON ({fault}); report this as a fault of the program."
        ) from fault


@dataclass(frozen=True)
class HashedFields:
    """Everything that the hash of an entry covers.

    ``body`` is its text as it is stored, not parsed and written again, so that even a change that
    leaves the meaning alone (``1E5`` for ``1e5``) is seen.
    """

    session: str
    seq: int
    prev: str
    kind: str
    at: str
    body: str
    clip: str | None
    engine: str | None


def entry_hash(fields: HashedFields) -> str:
    """The hash of an entry, in 64 hexadecimal digits.

    Members stand in the order that RFC 8785 asks for, and Python writes strings as it does.
    """

    def text(value: str | None) -> str:
        return json.dumps(value, ensure_ascii=False)

    whole = (
        f'{{"at":{text(fields.at)},"body":{fields.body},"clip":{text(fields.clip)},'
        f'"engine":{text(fields.engine)},"kind":{text(fields.kind)},"prev":{text(fields.prev)},'
        f'"seq":{fields.seq},"session":{text(fields.session)}}}'
    )
    # surrogateescape: bytes that are not UTF-8 come back from a damaged file as lone surrogates
    return sha256(whole.encode("utf-8", "surrogateescape")).hexdigest()


def link(session: str, seq: int, prev: str, draft: Draft) -> tuple[Entry, str]:
    """Make the entry that follows the one with hash ``prev``; returns it and its body's text.

    Raises:
        JournalError: the draft cannot be written as JSON.
    """
    body_text = canonical(draft.body)
    for value in (session, draft.at, draft.clip, draft.engine):
        canonical({"": value})
    digest = entry_hash(
        HashedFields(session, seq, prev, draft.kind, draft.at, body_text, draft.clip, draft.engine)
    )
    entry = Entry(
        draft.kind, draft.at, draft.body, draft.clip, draft.engine, session, seq, prev, digest
    )
    return entry, body_text
