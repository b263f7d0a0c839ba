"""The list of records: who built what, its number, how it ended, when."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.journal.types import Entries, JournalError, SessionRow
from assistant.report.record import build_record
from assistant.report.sheet.front import outcome
from assistant.report.sheet.page import Page

HEADS = ("Session", "Job", "Procedure", "Built by", "Serial", "State", "Opened")


@dataclass(frozen=True)
class ListedRecord:
    """One record as the list shows it."""

    row: SessionRow
    people: str
    serials: str
    state: str
    opened: str

    @property
    def cells(self) -> tuple[str, ...]:
        """The columns of the list."""
        row = self.row
        return (row.session, row.job, row.procedure_id, self.people, self.serials, self.state,
                self.opened)  # fmt: skip

    @property
    def closed(self) -> bool:
        """Whether nothing of it is open."""
        return self.state in ("Accepted", "Accepted with deviations", "Finished")

    def has(self, words: str) -> bool:
        """Whether it has each of the words, in dates as stored too."""
        text = " ".join((*self.cells, self.row.opened_at, self.row.last_at)).lower()
        return all(word in text for word in words.lower().split())


def listed(journal: Entries, row: SessionRow) -> ListedRecord:
    """What the list shows of one session; one that is damaged says so."""
    try:
        record = build_record(journal.read(row.session))
    except JournalError:
        return ListedRecord(row, "", "", "damaged: verify it", row.opened_at[:16].replace("T", " "))
    page = Page(record)
    serials = [i.text for i in record.identified if i.superseded_at is None and i.what == "serial"]
    return ListedRecord(
        row,
        ", ".join(page.builders),
        ", ".join(serials),
        outcome(page)[0],
        page.times.moment(row.opened_at).rsplit(" ", 1)[0],
    )
