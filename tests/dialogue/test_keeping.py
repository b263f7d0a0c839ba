"""Notes and pictures: told back, taken back by "correction", and never in the way of a reading."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import get_args

import pytest

from assistant.dialogue.effects import FetchPicture, Say
from assistant.dialogue.events import Heard, PictureFound, PictureMissed, PictureTrouble
from assistant.dialogue.facts import NoteTaken, NoteTakenBack, PictureAttached, PictureTakenBack
from assistant.dialogue.kinds.measurement.facts import ReadingSuperseded
from assistant.dialogue.kinds.measurement.states import Measuring
from assistant.dialogue.states import Doing, Review
from assistant.language.hypothesis import Recognition
from tests.dialogue.kit import GAP, Bench, procedure, replay

WIPE = {"id": "wipe", "kind": "action"}
TROUBLES: tuple[PictureTrouble, ...] = get_args(PictureTrouble)


def started(*steps: Mapping[str, object]) -> Bench:
    b = Bench(procedure(*steps))
    b.start()
    return b


def attach(b: Bench, file: str = "a", age_s: float = 120) -> str:
    """Ask for a picture and have the edge find one of this age."""
    b.say("attach_picture")
    (wanted,) = [e for e in b.effects if isinstance(e, FetchPicture)]
    assert wanted.step == b.state.step
    at = b.at()
    taken = (b.now - timedelta(seconds=age_s)).isoformat()
    return b.feed(
        PictureFound(
            at=at, step=wanted.step, name=f"IMG_{file}.jpg", file=file * 64, media="jpeg",
            size=9, taken=taken,
        )
    )  # fmt: skip


def test_a_picture_is_bound_to_its_step_and_told_with_name_age_and_step() -> None:
    b = started(WIPE, GAP)
    said = attach(b)
    assert "IMG_a.jpg" in said
    assert "2 minutes ago" in said
    assert "step 1" in said
    (fact,) = b.of(PictureAttached)
    assert (fact.step, fact.file) == ("wipe", "a" * 64)
    assert b.awaiting() == Doing()
    assert replay(b.context, b.events) == b.state


@pytest.mark.parametrize(
    ("age_s", "words"),
    [
        (-3600, "in the future"), (0, "less than a minute"), (61, "a minute ago"),
        (3599, "59 minutes"), (5400, "an hour ago"), (7300, "2 hours"), (86_400, "24 hours"),
        (3 * 86_400, "3 days"),
    ],
)  # fmt: skip
def test_the_age_is_said_so_that_an_old_picture_is_noticed(age_s: float, words: str) -> None:
    b = started(WIPE)
    assert words in attach(b, age_s=age_s)
    tone = next(e.tone for e in b.effects if isinstance(e, Say))
    assert tone == ("caution" if age_s >= 3600 else "readback")


def test_correction_takes_the_picture_back_and_not_the_reading_before_it() -> None:
    b = started(GAP, WIPE)
    b.type("reading 12 thou")
    attach(b)
    assert "step 1" in b.say("correction")
    assert [f.file for f in b.of(PictureTakenBack)] == ["a" * 64]
    assert b.of(ReadingSuperseded) == []
    assert b.awaiting() == Review()
    b.say("correction")  # now it is the reading's turn
    assert b.awaiting() == Measuring(0)


def test_correction_is_the_pictures_only_until_the_builder_goes_on() -> None:
    b = started(GAP, WIPE)
    attach(b)
    b.type("reading 12 thou")
    b.say("correction")
    assert b.of(PictureTakenBack) == []
    assert len(b.of(ReadingSuperseded)) == 1


def test_correction_is_not_offered_where_nothing_was_kept() -> None:
    b = started(WIPE)
    assert "correction" not in b.expected()
    attach(b)
    assert "correction" in b.expected()
    b.say("correction")
    assert "correction" not in b.expected()


def test_a_second_picture_must_be_another_one_and_not_older() -> None:
    b = started(WIPE)
    attach(b, "a", age_s=600)
    attach(b, "b", age_s=60)
    b.say("attach_picture")
    (wanted,) = [e for e in b.effects if isinstance(e, FetchPicture)]
    assert wanted.known == ("a" * 64, "b" * 64)
    assert wanted.not_before == b.of(PictureAttached)[1].taken
    b.say("correction")
    b.say("attach_picture")
    (wanted,) = [e for e in b.effects if isinstance(e, FetchPicture)]
    assert wanted.known == ("a" * 64,)


@pytest.mark.parametrize("why", TROUBLES)
def test_every_trouble_is_one_answer_and_changes_nothing(why: PictureTrouble) -> None:
    b = started(WIPE)
    b.say("attach_picture")
    before = b.state
    said = b.feed(PictureMissed(at=b.at(), step="wipe", why=why, name="IMG_9.jpg", detail="Why."))
    assert said.endswith((".", "moment."))
    assert b.awaiting() == before.awaiting
    assert b.state.pictures == {}
    assert "{" not in said


def note(b: Bench, seconds: float | None) -> str:
    b.say("take_note")
    heard = Recognition((), "test")
    return b.feed(Heard(at=b.at(), recognition=heard, clip="clip-7", seconds=seconds))


def test_the_builder_hears_how_long_a_note_is_and_takes_it_back() -> None:
    b = started(WIPE)
    assert "4 seconds long" in note(b, 4.2)
    assert "one second" in note(b, 0.4)
    assert [n.seconds for n in b.of(NoteTaken)] == [4.2, 0.4]
    b.say("correction")
    assert [(n.step, n.clip) for n in b.of(NoteTakenBack)] == [("wipe", "clip-7")]
    assert b.awaiting() == Doing()
    assert "seconds" not in note(b, None)


def test_how_long_a_reason_is_is_said_before_the_job_holds() -> None:
    b = started(GAP)
    b.type("reading 41 thou")
    b.say("disposition_use_as_is")
    said = b.feed(Heard(at=b.at(), recognition=Recognition((), "test"), clip="c", seconds=6.0))
    assert "6 seconds long" in said
    assert "Hold" in said


def test_a_picture_while_nothing_is_open_belongs_to_the_job() -> None:
    b = Bench(procedure(WIPE))
    b.open()
    assert "the job" in attach(b)
    assert b.of(PictureAttached)[0].step is None


def test_a_very_long_file_name_is_not_said_to_its_end() -> None:
    b = started(WIPE)
    said = attach(b, "a" * 1)
    assert "IMG_a.jpg" in said
    b.say("attach_picture")
    long = PictureFound(
        at=b.at(), step="wipe", name="x" * 250 + ".jpg", file="c" * 64, media="jpeg", size=9,
        taken=b.now.isoformat(),
    )  # fmt: skip
    said = b.feed(long)
    assert len(said) < 200
    assert ".jpg" in said
    assert b.of(PictureAttached)[-1].name == "x" * 250 + ".jpg"
