"""A picture made small enough to stand in a page, as a data URI (RFC 2397)."""

from __future__ import annotations

from base64 import b64encode
from io import BytesIO

from PIL import Image, ImageOps

_SIDE = 480  # pixels
_QUALITY = 70  # of JPEG, of 100


def thumbnail(content: bytes) -> str | None:
    """``content`` (JPEG or PNG) upright and small; None for what cannot be drawn, such as HEIC.

    Nothing of the file but its pixels goes into the page: place and time stay in the original.
    """
    try:
        with Image.open(BytesIO(content), formats=("JPEG", "PNG")) as picture:
            picture.draft("RGB", (2 * _SIDE, 2 * _SIDE))  # decodes a JPEG at a fraction of its size
            small = ImageOps.exif_transpose(picture).convert("RGB")
            small.thumbnail((_SIDE, _SIDE))
            out = BytesIO()
            small.save(out, "JPEG", quality=_QUALITY)
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        return None
    return "data:image/jpeg;base64," + b64encode(out.getvalue()).decode("ascii")
