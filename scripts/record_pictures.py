"""Draws the pictures of docs/record.md: pages of a made-up build, set again from today's code.

python -m scripts.record_pictures            (needs pdftoppm, Debian package poppler-utils)
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from datetime import timedelta, timezone
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageDraw

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from assistant.report.pdf import to_pdf  # noqa: E402
from assistant.report.record import build_record  # noqa: E402
from assistant.report.sheet.integrity import Integrity, SealLine  # noqa: E402
from assistant.report.sheet.layout import lay_out  # noqa: E402
from assistant.report.thumbnail import thumbnail  # noqa: E402
from tests.report.deviating import deviating  # noqa: E402

ZONE = timezone(timedelta(hours=5, minutes=30))
DOTS = 72  # per inch


def shims() -> bytes:
    """A drawing in place of a photograph: three shims, the third with a bent edge."""
    drawn = Image.new("RGB", (480, 320), "#d8d4cc")
    pen = ImageDraw.Draw(drawn)
    for number in range(3):
        x, y = 90 + 150 * number, 160
        pen.ellipse((x - 62, y - 62, x + 62, y + 62), fill="#8f9aa3", outline="#333", width=2)
        pen.ellipse((x - 30, y - 30, x + 30, y + 30), fill="#d8d4cc", outline="#333", width=2)
    pen.polygon([(448, 130), (458, 110), (438, 112)], fill="#d8d4cc", outline="#333")
    out = BytesIO()
    drawn.save(out, "PNG")
    return out.getvalue()


def main() -> None:
    """Set the build and draw its pages."""
    record = build_record(deviating())
    before = build_record(deviating("kb2-30", "KB2-30", "H2191", "34.98 mm"))
    seal = SealLine(
        entries=record.entries, sealed_at="2026-01-06T02:00:00+00:00", public_key="5a" * 32,
        fingerprint="3f9c1d22a0b45e67",
    )  # fmt: skip
    sheet = lay_out(record, Integrity(seals=(seal,)), ZONE, before)
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / "record.pdf"
        made.write_bytes(to_pdf(record, sheet, lambda line: thumbnail(shims())))
        subprocess.run(["pdftoppm", "-r", str(DOTS), "-png", made, f"{folder}/page"], check=True)
        for page in sorted(Path(folder).glob("page-*.png")):
            number = int(page.stem.partition("-")[2])
            small = Image.open(page).convert("P", palette=Image.Palette.ADAPTIVE, colors=128)
            small.save(ROOT / "docs" / "pictures" / f"record-{number}.png", optimize=True)


if __name__ == "__main__":
    main()
