"""The folder into which a camera or a telephone puts its pictures."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from stat import S_ISREG
from time import sleep

from assistant.dialogue.effects import FetchPicture
from assistant.dialogue.picture_file import Media
from assistant.journal.pictures import PictureStore, media_of
from assistant.session.edges import NoPicture, Picture

MOST_BYTES = 40_000_000  # a picture of a telephone has 2 to 15 MB
_SETTLE_S = 0.4
_TRIES = 5
_HEAD = 16


class PictureFolder:
    """Takes the newest picture of ``folder`` into ``store``.

    ``settle`` waits a moment between two looks at a file that may still be arriving.
    """

    def __init__(
        self,
        folder: Path,
        store: PictureStore,
        settle: Callable[[], None] = lambda: sleep(_SETTLE_S),
    ) -> None:
        self._folder = folder
        self._store = store
        self._settle = settle

    def fetch(self, wanted: FetchPicture) -> Picture | NoPicture:
        """Store the newest picture durably, or say why there is none."""
        try:
            newest = max(self._pictures(), default=None)
        except OSError as fault:
            return NoPicture("folder_gone", detail=_why(fault))
        if newest is None:
            return NoPicture("none")
        when, path = newest
        taken = datetime.fromtimestamp(when / 1e9, UTC)
        if wanted.not_before and taken < datetime.fromisoformat(wanted.not_before):
            return NoPicture("none_new", _name(path))
        return self._take(path, taken, wanted)

    def _pictures(self) -> Iterator[tuple[int, Path]]:
        """Every file that begins like a picture, with its time in nanoseconds."""
        for path in self._folder.iterdir():
            try:
                found = path.stat()
                if not S_ISREG(found.st_mode):
                    continue
                with path.open("rb") as file:
                    head = file.read(_HEAD)
            except OSError:
                continue  # renamed or removed while we looked
            if media_of(head) is not None:
                yield found.st_mtime_ns, path

    def _take(self, path: Path, taken: datetime, wanted: FetchPicture) -> Picture | NoPicture:
        try:
            if not self._settled(path):
                return NoPicture("unfinished", _name(path))
            if path.stat().st_size > MOST_BYTES:
                return NoPicture("too_large", _name(path), f"{MOST_BYTES // 1_000_000} megabytes")
            content = path.read_bytes()
        except OSError:
            return NoPicture("unreadable", _name(path))
        media = media_of(content)
        if media is None or not whole(content, media):
            return NoPicture("unreadable", _name(path))
        if sha256(content).hexdigest() in wanted.known:
            return NoPicture("none_new", _name(path))
        try:
            file = self._store.keep(content, media)
        except OSError as fault:
            return NoPicture("not_stored", _name(path), _why(fault))
        return Picture(_name(path), file, media, len(content), taken.isoformat())

    def _settled(self, path: Path) -> bool:
        """Whether the file's size and time stay as they are from one look to the next."""
        before = _look(path)
        for _ in range(_TRIES):
            self._settle()
            now = _look(path)
            if now == before:
                return True
            before = now
        return False


def whole(content: bytes, media: Media) -> bool:
    """Whether a picture is all there: JPEG and PNG are decoded to their end.

    Of a HEIC only the container is looked at: its boxes must fill the file (ISO/IEC 14496-12).
    """
    if media == "heic":
        return _boxes_whole(content)
    from PIL import Image  # slow to import

    try:
        with Image.open(BytesIO(content), formats=("JPEG", "PNG")) as picture:
            picture.load()
    except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        return False
    return True


def _boxes_whole(content: bytes) -> bool:
    at = 0
    while at + 8 <= len(content):
        size = int.from_bytes(content[at : at + 4], "big")
        if size == 1 and at + 16 <= len(content):
            size = int.from_bytes(content[at + 8 : at + 16], "big")
        if size == 0:
            return True  # the last box runs to the end
        if size < 8:
            return False
        at += size
    return at == len(content)


def _look(path: Path) -> tuple[int, int]:
    found = path.stat()
    return found.st_size, found.st_mtime_ns


def _name(path: Path) -> str:
    """The file's name as text that can be stored: bytes that are none become question marks."""
    return path.name.encode("utf-8", "replace").decode()


def _why(fault: OSError) -> str:
    return f"{os.strerror(fault.errno)}." if fault.errno else ""
