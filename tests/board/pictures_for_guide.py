"""The pictures of the board in docs/guide: ``python -m tests.board.pictures_for_guide``.

Each page's own example is played up to a line of its talk, and the board photographed there.
Names of pages after the command take only those. Needs the Debian package ``chromium``.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image

from assistant.board.serving import serve_board
from tests.board.chromium import Tab, browser
from tests.board.pictures_for_docs import FOLDER
from tests.procedure.guide import GuidePage, pages
from tests.procedure.guide_session import context_of, play

AFTER = {
    "action": 1, "adjusting": 1, "blades": 1, "caution": 0, "choice": 1, "derived": 4,
    "identification": 1, "inspection": 2, "locker": 1, "log": 4, "measurement": 2, "shims": 3,
    "stages": 7, "tightening": 4, "wait": 1,
}  # fmt: skip
"""Page -> after how many of the builder's lines its picture is taken."""
_SIZE, _WIDE = (1280, 800), 640


def _photograph(tab: Tab, page: GuidePage) -> None:
    with serve_board(context_of(page), "127.0.0.1:0") as board:
        play(page, screen=board.screen, most=AFTER[page.name], start=datetime.now(UTC))
        tab.open(f"{board.url}?look=light")
        path = FOLDER / f"guide-{page.name}.png"
        tab.picture(path)
    picture = Image.open(path).convert("RGB")
    high = round(picture.height * _WIDE / picture.width)
    picture = picture.resize((_WIDE, high), Image.Resampling.LANCZOS)
    picture.quantize(32, dither=Image.Dither.NONE).save(path, optimize=True)


def main(names: list[str]) -> None:
    """Take the pictures of these pages, or of all."""
    with TemporaryDirectory() as folder, browser(Path(folder) / "profile") as tab:
        tab.size(*_SIZE)
        for page in pages():
            if page.name in AFTER and (not names or page.name in names):
                _photograph(tab, page)


if __name__ == "__main__":
    main(sys.argv[1:])
