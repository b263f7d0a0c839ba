"""What the store says of a record beside its entries: whether it was touched, the build before."""

from __future__ import annotations

from datetime import datetime

from assistant.cli.workplace import Store
from assistant.journal.seal import fingerprint
from assistant.journal.types import JournalError
from assistant.report.model import BuildRecord
from assistant.report.record import build_record
from assistant.report.sheet.integrity import Integrity, SealLine


def integrity_of(kept: Store, name: str, found: BuildRecord) -> Integrity:
    """The journal, the seals, and the files of sounds and pictures, checked now."""
    bad = kept.journal.verify(name)
    seals = tuple(
        SealLine(
            entries=s.entries,
            sealed_at=s.sealed_at,
            public_key=s.public_key,
            fingerprint=fingerprint(s.public_key),
        )
        for s in kept.journal.seals(name)
    )
    named = [
        *(r.clip for r in found.readings),
        *(n.clip for n in found.notes),
        *(i.clip for i in found.identified),
        *(d.clip for d in found.dispositions),
    ]
    clips = {clip for clip in named if clip}
    altered = sum(kept.clips.look(clip) == "altered" for clip in clips)
    altered += sum(kept.pictures.look(p.file, p.media) == "altered" for p in found.pictures)
    return Integrity(bad=None if bad is None else bad.sentence, seals=seals, altered=altered)


def last_build(kept: Store, found: BuildRecord) -> BuildRecord | None:
    """The last finished build of the same procedure that was begun before this one."""
    before = [
        row
        for row in kept.journal.sessions()
        if row.procedure_id == found.procedure_id
        and row.session != found.session
        and _instant(row.opened_at) < _instant(found.opened_at)
    ]
    for row in sorted(before, key=lambda row: _instant(row.opened_at), reverse=True):
        try:
            record = build_record(kept.journal.read(row.session))
        except JournalError:
            continue  # damaged: verify says so of that session
        if record.finished_at is not None and record.demo_clock == found.demo_clock:
            return record
    return None


def _instant(at: str) -> float:
    try:
        return datetime.fromisoformat(at).timestamp()
    except ValueError:
        return 0.0
