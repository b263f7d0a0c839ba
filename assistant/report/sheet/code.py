"""The QR code on page one (ISO/IEC 18004): it ties the paper to the journal."""

from __future__ import annotations

from itertools import groupby

import segno

from assistant.report.model import BuildRecord
from assistant.report.sheet.blocks import Drawing
from assistant.report.svg import element, picture

_QUIET = 4  # modules of white around the code, by the standard
_SIDE = 96.0  # CSS pixels


def code_text(record: BuildRecord) -> str:
    """What the code says: session, entries and the hash of the last entry.

    ``assembly-assistant verify --head ENTRIES:HASH`` compares it with the journal.
    """
    return (
        f"assembly-build-record {record.session}\nshort {record.last_hash[:8]}\n"
        f"head {record.entries}:{record.last_hash}"
    )


def code(record: BuildRecord) -> Drawing:
    """The code, error correction level M; black runs of a row are one rectangle."""
    made = segno.make_qr(code_text(record), error="m")
    rows = [list(row) for row in made.matrix_iter(scale=1, border=_QUIET)]
    parts = [element("rect", x=0.0, y=0.0, width=_SIDE, height=_SIDE, fill="#fff")]
    path = []
    for y, row in enumerate(rows):
        x = 0
        for dark, run in groupby(row):
            length = len(list(run))
            if dark:
                path.append(f"M{x} {y}h{length}v1h-{length}z")
            x += length
    scale = _SIDE / len(rows)
    parts.append(element("path", d="".join(path), transform=f"scale({scale:.5f})", fill="#000"))
    said = f"QR code with the hash of the record, {record.last_hash[:8]}"
    return Drawing(picture(_SIDE, _SIDE, said, parts), _SIDE, _SIDE, said)
