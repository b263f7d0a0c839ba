"""Pictures of every state of every step kind on the board, to be looked at by eye.

``python -m tests.board.pictures FOLDER`` puts one contact sheet there for each size and look;
with ``--size 390x844`` or ``--look dark`` only those. Needs the Debian package ``chromium``.
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from itertools import groupby
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image, ImageDraw

from assistant.board.serving import serve_board
from tests.board.chromium import Tab, browser
from tests.board.shown import SHOWN, Shown

SIZES = ((1280, 800), (800, 1280), (390, 844))
LOOKS = ("light", "dark", "contrast")
_ACROSS = {1280: 5, 800: 8, 390: 12}
_SCALE = {1280: 0.42, 800: 0.36, 390: 0.6}
_TITLE = 22


def photograph(tab: Tab, folder: Path, size: tuple[int, int], look: str) -> list[Path]:
    """One picture of each state, in the order of ``SHOWN``."""
    tab.size(*size)
    paths: list[Path] = []
    for context, shown in groupby(SHOWN, key=lambda one: one.context):
        with serve_board(context, "127.0.0.1:0") as board:
            for one in shown:
                one.put_on(board.screen)
                tab.open(f"{board.url}?look={look}")
                paths.append(folder / f"{len(paths):02}.png")
                tab.picture(paths[-1])
    return paths


def contact_sheet(
    paths: Sequence[Path], shown: Sequence[Shown], across: int, scale: float
) -> Image.Image:
    """All pictures side by side, each under its name."""
    first = Image.open(paths[0])
    wide, high = round(first.width * scale), round(first.height * scale)
    down = -(-len(paths) // across)
    sheet = Image.new("RGB", (across * (wide + 8), down * (high + _TITLE + 8)), "#808080")
    draw = ImageDraw.Draw(sheet)
    for place, (path, one) in enumerate(zip(paths, shown, strict=True)):
        x, y = place % across * (wide + 8) + 4, place // across * (high + _TITLE + 8) + 4
        draw.text((x, y + 4), one.name, fill="white")
        small = Image.open(path).convert("RGB").resize((wide, high), Image.Resampling.LANCZOS)
        sheet.paste(small, (x, y + _TITLE))
    return sheet


def main() -> None:
    """Take the pictures that were asked for."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("folder", type=Path)
    ask.add_argument("--size", choices=[f"{w}x{h}" for w, h in SIZES])
    ask.add_argument("--look", choices=LOOKS)
    asked = ask.parse_args()
    asked.folder.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory() as profile, browser(Path(profile)) as tab:
        for wide, high in SIZES:
            for look in LOOKS:
                if asked.size in (None, f"{wide}x{high}") and asked.look in (None, look):
                    single = asked.folder / f"{wide}x{high}-{look}"
                    single.mkdir(exist_ok=True)
                    paths = photograph(tab, single, (wide, high), look)
                    sheet = contact_sheet(paths, SHOWN, _ACROSS[wide], _SCALE[wide])
                    sheet.save(asked.folder / f"{wide}x{high}-{look}.png")


if __name__ == "__main__":
    main()
