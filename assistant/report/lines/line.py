"""What all lines of a record have in common."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class RecordLine(BaseModel):
    """Common to all parts of a record; they grow while it is read."""

    model_config = ConfigDict(extra="forbid", defer_build=True)


class ReplaceableLine(RecordLine):
    """Something that going back to its step supersedes."""

    at: str
    step: str
    superseded_at: str | None = None
