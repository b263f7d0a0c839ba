"""People on the command line: told apart by voice, and never one person under two names."""

from __future__ import annotations

import pytest

from assistant.cli.people import PeopleError, people


def known(builder: str, *inspectors: str) -> list[str]:
    """The initials that each is called by."""
    return [p.initials for p in people(builder, inspectors)]


def test_two_letters_where_they_tell_people_apart() -> None:
    assert known("Otto Brandwick", "Marta Quill") == ["OB", "MQ"]


def test_a_letter_more_for_those_who_share_theirs_and_for_them_alone() -> None:
    assert known("Otto Brandwick", "Olga Berg", "Marta Quill") == ["OBR", "OBE", "MQ"]


def test_who_cannot_be_told_apart_is_named_otherwise() -> None:
    with pytest.raises(PeopleError, match="same initials"):
        known("Otto Brandwick", "Olga Brand")


@pytest.mark.parametrize(
    "again", ["Otto Brandwick", "otto  brandwick", "Otto K. Brandwick", "Otto-Karl Brandwick"]
)
def test_nobody_accepts_their_own_work_under_another_spelling(again: str) -> None:
    with pytest.raises(PeopleError, match="may be the same person"):
        known("Otto Brandwick", again)
