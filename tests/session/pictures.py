"""Real picture files, made by Pillow (an independent encoder), and a HEIC's container by hand."""

from __future__ import annotations

import os
from datetime import datetime
from io import BytesIO
from pathlib import Path
from random import Random

from PIL import Image


def picture(form: str = "JPEG", seed: int = 1, side: int = 64) -> bytes:
    """A picture of coloured noise, so that it does not shrink to nothing."""
    noise = Random(seed).randbytes(3 * side * side)
    out = BytesIO()
    Image.frombytes("RGB", (side, side), noise).save(out, form)
    return out.getvalue()


def heic() -> bytes:
    """The boxes of a HEIC (ISO/IEC 14496-12: size, type, content) around no picture at all."""
    boxes = (b"ftyp" + b"heic" + bytes(4) + b"mif1heic", b"meta" + bytes(32), b"mdat" + bytes(99))
    return b"".join((len(box) + 4).to_bytes(4, "big") + box for box in boxes)


def put(folder: Path, name: str, content: bytes, at: datetime) -> Path:
    """A file with this time, as a camera leaves it."""
    path = folder / name
    path.write_bytes(content)
    os.utime(path, (at.timestamp(), at.timestamp()))
    return path
