"""The watched folder: what counts as the newest picture, and what is refused."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import pytest

from assistant.dialogue.effects import FetchPicture
from assistant.dialogue.picture_file import Media
from assistant.journal.chain import canonical
from assistant.journal.pictures import PictureStore
from assistant.session import picture_folder
from assistant.session.edges import NoPicture, Picture
from assistant.session.picture_folder import PictureFolder
from tests.session.pictures import heic, picture, put

NOON = datetime(2026, 1, 5, 12, 0, tzinfo=UTC)
ANY = FetchPicture("wipe")


class Place:
    """A folder with its store; the wait between two looks runs ``between``."""

    def __init__(self, root: Path) -> None:
        self.folder = root / "camera"
        self.folder.mkdir()
        self.store = PictureStore(root / "kept")
        self.waits = 0
        self.between: Callable[[], None] = lambda: None

    def fetch(self, wanted: FetchPicture = ANY) -> Picture | NoPicture:
        return PictureFolder(self.folder, self.store, self._settle).fetch(wanted)

    def _settle(self) -> None:
        self.waits += 1
        self.between()

    def put(self, name: str, content: bytes, minutes: int = 0) -> Path:
        return put(self.folder, name, content, NOON + timedelta(minutes=minutes))


@pytest.fixture
def place(tmp_path: Path) -> Place:
    return Place(tmp_path)


@pytest.mark.parametrize(
    ("name", "content", "media"),
    [
        ("a.jpg", picture("JPEG"), "jpeg"),
        ("b.png", picture("PNG"), "png"),
        ("c.heic", heic(), "heic"),
        ("no_ending", picture("JPEG"), "jpeg"),
    ],
)
def test_pictures_are_known_by_their_content_and_kept_bit_for_bit(
    place: Place, name: str, content: bytes, media: Media
) -> None:
    place.put(name, content)
    found = place.fetch()
    assert found == Picture(
        name,
        sha256(content).hexdigest(),
        media,
        len(content),
        NOON.isoformat(),
    )
    assert isinstance(found, Picture)
    assert place.store.path(found.file, found.media).read_bytes() == content
    assert place.store.look(found.file, found.media) == "intact"


def test_the_newest_by_its_time_is_taken_whatever_else_lies_there(place: Place) -> None:
    place.put("old.jpg", picture(seed=1), -30)
    place.put("new.jpg", picture(seed=2), 0)
    place.put("letter.txt", b"no picture", 5)
    place.put("lies.jpg", b"a text called a picture", 6)
    (place.folder / "sub.jpg").mkdir()
    found = place.fetch()
    assert isinstance(found, Picture)
    assert found.name == "new.jpg"


def test_the_same_picture_is_not_attached_twice_even_under_another_name(place: Place) -> None:
    content = picture()
    place.put("a.jpg", content)
    found = place.fetch()
    assert isinstance(found, Picture)
    again = FetchPicture("wipe", (found.file,), found.taken)
    assert place.fetch(again) == NoPicture("none_new", "a.jpg")
    place.put("copy.jpg", content, 3)
    assert place.fetch(again) == NoPicture("none_new", "copy.jpg")
    place.put("b.jpg", picture(seed=9), 4)
    assert isinstance(place.fetch(again), Picture)


def test_an_older_one_is_not_taken_for_a_new_one(place: Place) -> None:
    place.put("a.jpg", picture(), -10)
    later = FetchPicture("wipe", ("0" * 64,), NOON.isoformat())
    assert place.fetch(later) == NoPicture("none_new", "a.jpg")


def test_an_empty_folder_and_none_at_all(place: Place) -> None:
    assert place.fetch() == NoPicture("none")
    place.folder.rmdir()
    missed = place.fetch()
    assert isinstance(missed, NoPicture)
    assert missed.why == "folder_gone"
    assert missed.detail == "No such file or directory."


@pytest.mark.parametrize("form", ["JPEG", "PNG"])
@pytest.mark.parametrize("part", [0.3, 0.6, 0.9])
def test_a_picture_cut_off_in_copying_is_not_taken(place: Place, form: str, part: float) -> None:
    content = picture(form)
    place.put("a.jpg", content[: int(len(content) * part)])
    assert place.fetch() == NoPicture("unreadable", "a.jpg")
    assert not place.store.path(sha256(content).hexdigest(), "jpeg").exists()


def test_a_heic_whose_boxes_do_not_fill_the_file_is_not_taken(place: Place) -> None:
    place.put("a.heic", heic()[:-7])
    assert place.fetch() == NoPicture("unreadable", "a.heic")


def test_a_picture_that_is_still_arriving_is_waited_for_a_little(place: Place) -> None:
    content = picture()
    path = place.put("a.jpg", content[:500])

    def arrive() -> None:
        if path.stat().st_size < len(content):
            path.write_bytes(content)

    place.between = arrive
    found = place.fetch()
    assert isinstance(found, Picture)
    assert found.size == len(content)
    assert place.waits >= 2


def test_one_that_goes_on_growing_is_left_for_later(place: Place) -> None:
    path = place.put("a.jpg", picture())

    def grow() -> None:
        path.write_bytes(path.read_bytes() + b"more")

    place.between = grow
    assert place.fetch() == NoPicture("unfinished", "a.jpg")


def test_one_that_is_too_large_is_not_read(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(picture_folder, "MOST_BYTES", 1_000_000)
    path = place.put("a.jpg", picture())
    with path.open("ab") as file:
        file.truncate(1_000_001)
    assert place.fetch() == NoPicture("too_large", "a.jpg", "1 megabytes")


def test_a_store_that_cannot_be_written_to_loses_nothing(place: Place, tmp_path: Path) -> None:
    (tmp_path / "kept").write_text("in the way")
    place.put("a.jpg", picture())
    missed = place.fetch()
    assert isinstance(missed, NoPicture)
    assert (missed.why, missed.name) == ("not_stored", "a.jpg")
    assert missed.detail


def test_a_picture_that_was_altered_in_the_store_shows(place: Place) -> None:
    place.put("a.jpg", picture())
    found = place.fetch()
    assert isinstance(found, Picture)
    path = place.store.path(found.file, found.media)
    assert place.store.content(found.file, found.media) == path.read_bytes() == picture()
    path.write_bytes(path.read_bytes()[:-1] + b"x")
    assert place.store.look(found.file, found.media) == "altered"
    assert place.store.content(found.file, found.media) is None
    path.unlink()
    assert place.store.look(found.file, found.media) == "missing"


def test_a_name_that_is_no_text_is_stored_as_text(place: Place) -> None:
    name = os.fsdecode(b"caf\xe9.jpg")
    (place.folder / name).write_bytes(picture())
    found = place.fetch()
    assert isinstance(found, Picture)
    assert found.name == "caf?.jpg"
    canonical({"name": found.name})
