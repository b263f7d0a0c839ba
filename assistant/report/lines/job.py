"""Lines of the record about the job as a whole: its documents, people, tools, parts and events."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.dialogue.picture_file import Media
from assistant.report.lines.line import RecordLine
from assistant.report.written import (
    DifferenceOut,
)


class Document(RecordLine):
    """A document with its revision."""

    title: str
    revision: str
    date: str = ""


class PersonLine(RecordLine):
    name: str
    initials: str
    role: str


class ToolLine(RecordLine):
    """A gauge or wrench that the procedure calls for; ``used`` when a value came from it.

    ``own_id``, ``own_name`` and ``calibration_due`` (ISO 8601 date) are those of the bench's own
    tool, where an inventory was kept; ``checked_at`` is when it was last looked at, ``findings``
    what was said. ``until`` is when another tool took its place, which has the next line.
    """

    id: str
    name: str
    kind: str
    unit: str
    resolution: DifferenceOut | None
    uncertainty: DifferenceOut | None
    used: bool = False
    own_id: str = ""
    own_name: str = ""
    calibration_due: str | None = None
    checked_at: str | None = None
    until: str | None = None
    findings: list[str] = []


def there_at(tools: Iterable[ToolLine], gauge: str, at: str) -> ToolLine | None:
    """The tool that was there for ``gauge`` at an instant, whatever took its place since."""
    lines = (line for line in tools if line.id == gauge)
    return next((line for line in lines if line.until is None or at < line.until), None)


class PartLine(RecordLine):
    """A part, with the numbers read off it that count."""

    id: str
    name: str
    quantity: int
    numbers: list[str] = []


class MaterialLine(RecordLine):
    """Oil, grease or sealant that the procedure calls for; ``steps`` (ids) use it."""

    name: str
    steps: list[str] = []


class ManualLine(RecordLine):
    """The revision of the manual on the bench, as spoken."""

    at: str
    spoken: str
    expected: str
    matches: bool


class ConditionLine(RecordLine):
    at: str
    what: str
    value: str


class NoteLine(RecordLine):
    """A note; ``seconds`` of sound. One that was taken back stays, and says since when."""

    at: str
    step: str | None
    text: str
    clip: str | None
    seconds: float | None = None
    taken_back_at: str | None = None


class PictureLine(RecordLine):
    """A picture of ``step`` (None: of the job); ``file`` is the SHA-256 of its bytes.

    ``taken`` is the time of the picture's file, ``at`` when it was attached.
    """

    at: str
    step: str | None
    name: str
    file: str
    media: Media
    size: int  # bytes
    taken: str
    taken_back_at: str | None = None


class RevisionLine(RecordLine):
    """The builder acknowledged that the procedure's file was revised; step ids and titles."""

    at: str
    revision: str
    sha256: str
    done: list[str]
    ahead: list[str]
    removed: list[str]
    added: list[str]


class MomentLine(RecordLine):
    """Something that happened to the session as a whole: stopped, resumed, equipment failed.

    Also a caution, a torque or a readback that the builder cut short, and that it was repeated.
    """

    at: str
    what: str
    detail: str = ""


class UnreadLine(RecordLine):
    """A fact of the journal that this version does not understand."""

    seq: int
    kind: str
