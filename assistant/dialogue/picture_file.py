"""A picture in the store, as the event that brought it and the fact that it counts name it."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel

Media = Literal["jpeg", "png", "heic"]


class PictureFile(BaseModel):
    """A picture of ``step`` (None: of the job).

    ``file`` is the SHA-256 of its bytes, which names it; ``name`` what the camera called it;
    ``taken`` the file's own time, ISO 8601 with offset, which a camera's clock may have set.
    """

    step: str | None
    name: str
    file: str
    media: Media
    size: int  # bytes
    taken: str
