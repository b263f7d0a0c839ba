"""Small entries to store."""

from __future__ import annotations

from assistant.journal.types import Draft

AT = "2026-01-05T08:00:00+00:00"
SESSION = "kb2-1"


def draft(number: int, at: str = AT) -> Draft:
    """An entry that carries its number."""
    body = {"kind": "heard", "number": number, "said": 'Spiel µ ½ \u0001 "ok"', "sure": 1e-7}
    return Draft("event", at, body, clip="c1" if number % 2 else None, engine="test")


def opening(job: str = "KB2-7") -> Draft:
    """The entry that opens a session."""
    return Draft("event", AT, {"kind": "opened", "job": job, "procedure_id": "kb2_cap"})
