"""Pictures as evidence: files named by the hash of their content, as clips are."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path

from assistant.dialogue.picture_file import Media
from assistant.journal.content import ContentState, content_of, look_at, place_of
from assistant.journal.durable import make_folder, write_durably

_ENDINGS: dict[Media, str] = {"jpeg": "jpg", "png": "png", "heic": "heic"}
_MOST_BYTES = 100_000_000  # more than the session takes from a camera
# Brands of ISO/IEC 23008-12 (HEIF) for still pictures coded with HEVC.
_HEIC_BRANDS = (b"heic", b"heix", b"heim", b"heis", b"mif1")


def media_of(content: bytes) -> Media | None:
    """What kind of picture ``content`` begins like; None for anything else.

    By signature, never by name: JPEG (ISO/IEC 10918-1, SOI marker), PNG (ISO/IEC 15948),
    HEIC (ISO/IEC 23008-12, file type box of ISO/IEC 14496-12).
    """
    if content[:3] == b"\xff\xd8\xff":
        return "jpeg"
    if content[:8] == b"\x89PNG\r\n\x1a\n":
        return "png"
    if content[4:8] == b"ftyp" and content[8:12] in _HEIC_BRANDS:
        return "heic"
    return None


class PictureStore:
    """Keeps pictures in ``folder``, bit for bit as they were taken."""

    def __init__(self, folder: Path | str) -> None:
        self._folder = Path(folder)

    def keep(self, content: bytes, media: Media) -> str:
        """Store ``content`` durably; returns its SHA-256 (64 hexadecimal digits).

        Raises:
            OSError: it cannot be written.
        """
        file = sha256(content).hexdigest()
        path = self.path(file, media)
        if not path.exists():
            make_folder(self._folder)
            write_durably(path, content)
        return file

    def path(self, file: str, media: Media) -> Path:
        """The path of the picture, whether or not it is there.

        Raises:
            JournalError: ``file`` is not a SHA-256.
        """
        return place_of(self._folder, file, _ENDINGS[media])

    def content(self, file: str, media: Media) -> bytes | None:
        """The picture's bytes; None where it is missing or was altered."""
        return content_of(self._folder, file, _ENDINGS[media], _MOST_BYTES)

    def look(self, file: str, media: Media) -> ContentState:
        """Whether the picture is there and its content still has the hash that names it."""
        return look_at(self._folder, file, _ENDINGS[media], _MOST_BYTES)
