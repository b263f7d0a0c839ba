"""Whether a record is as it was written: what was checked, in words."""

from __future__ import annotations

from collections.abc import Iterator

from pydantic import BaseModel, ConfigDict

from assistant.report.sheet import words
from assistant.report.sheet.blocks import Block, Paragraph
from assistant.report.sheet.page import Page


class SealLine(BaseModel):
    """A seal that was checked with the record."""

    model_config = ConfigDict(frozen=True)
    entries: int
    sealed_at: str
    public_key: str
    fingerprint: str = ""


class Integrity(BaseModel):
    """What ``verify`` found: ``bad`` is its sentence, None when the record is sound.

    ``altered`` counts sounds and pictures whose files are not what they were.
    """

    model_config = ConfigDict(frozen=True)
    bad: str | None = None
    seals: tuple[SealLine, ...] = ()
    altered: int = 0


def grouped(code: str) -> str:
    """A hash in groups of eight, as it is compared by eye."""
    return " ".join(code[n : n + 8] for n in range(0, len(code), 8))


def in_short(page: Page, integrity: Integrity | None) -> tuple[str, bool]:
    """A line for page one, and whether it is alarming."""
    entries = page.record.entries
    if integrity is None:
        return "Not checked when this was made.", True
    if integrity.bad:
        return f"The record is not as it was written. {integrity.bad}", True
    if integrity.altered:
        return f"{words.count(integrity.altered, 'sound or picture', 'sounds or pictures')} " \
               "altered; the entries are as they were written.", True  # fmt: skip
    untouched = f"Untouched: all {entries} entries follow one another as they were written. "
    if not integrity.seals:
        return untouched + "Not sealed.", False
    last = integrity.seals[-1]
    covered = "all of them" if last.entries == entries else f"the first {last.entries}"
    return (
        f"{untouched}Sealed {page.times.moment(last.sealed_at)}, {covered}; key "
        f"{last.fingerprint or last.public_key[:32]}.",
        False,
    )


def integrity_words(page: Page, integrity: Integrity | None) -> Iterator[Block]:
    """The whole statement, for the appendix."""
    record = page.record
    if integrity is None:
        yield Paragraph(
            "Not checked when this was made. Run "
            f"assembly-assistant verify {record.session}.", strong=True
        )  # fmt: skip
    elif integrity.bad:
        yield Paragraph(f"The record is not as it was written. {integrity.bad}", strong=True)
    else:
        yield Paragraph(
            f"Checked when this was made: all {record.entries} entries follow one another "
            "unaltered."
        )
    yield Paragraph(
        f"Last entry {record.entries}, SHA-256 {grouped(record.last_hash)}. Anyone who holds the "
        "journal can compute it again. A paper or a page like this one can be changed by anybody: "
        "the journal decides."
    )
    for seal in () if integrity is None else integrity.seals:
        known = f", fingerprint {grouped(seal.fingerprint)}" if seal.fingerprint else ""
        yield Paragraph(
            f"Sealed {page.times.moment(seal.sealed_at)} up to entry {seal.entries} with the "
            f"Ed25519 key {grouped(seal.public_key)}{known}. A seal holds only where this key is "
            "yours: compare the fingerprint with one that was put away."
        )
    if integrity is None or not integrity.seals:
        yield Paragraph(
            "This record is not sealed: entries cut off its end together with the list's count "
            "would not be seen."
        )
    if record.clock_set_back_at:
        at = ", ".join(map(str, record.clock_set_back_at))
        yield Paragraph(
            f"The clock was set back at entries {at}. The order of entries is right all the same; "
            "their times are as the clock showed them.",
            strong=True,
        )
